"""A real voice laid on its words: recordings that stand in no package. Name a folder of .wav files with VOICE_FILES, each with what it
says in a .txt and its aligned words in a .json beside it, as in test/data/librivox of pocketsphinx's source package."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.speed.voice import of_a_real_voice


def test_each_line_is_found_within_a_tenth_of_a_second() -> None:
    pytest.importorskip("pocketsphinx")
    folder = os.environ.get("VOICE_FILES")
    if not folder:
        pytest.skip("VOICE_FILES names no folder")
    found = list(of_a_real_voice(Path(folder)))
    assert found and all(one.ratio is not None and one.ratio <= 1 for one in found), found
