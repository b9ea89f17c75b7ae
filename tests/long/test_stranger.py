"""Hours of a stranger's clicking and mistyping: no file that was there and that nobody named is lost or changed.

`pytest -m long tests/long/test_stranger.py`; STRANGER_S says for how many seconds, STRANGER_SEED where to begin, STRANGER_TOLD a file
for what was done.
"""

from __future__ import annotations

import os
import sys
import time
from collections import Counter
from pathlib import Path

import pytest
from stranger import Visit

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a terminal of its own, and ends process groups")
SECONDS = int(os.environ.get("STRANGER_S", "7200"))
SEED = int(os.environ.get("STRANGER_SEED", "0"))
TOLD = os.environ.get("STRANGER_TOLD", os.devnull)
ACTS = 40


def visit(seed: str, folder: Path, acts: int, until: float = float("inf")) -> Visit:
    """So many acts in a new folder."""
    folder.mkdir()
    here = Visit(seed, folder)
    try:
        for _ in range(acts):
            if time.monotonic() > until:
                break
            here.act()
    finally:
        here.ends()
    return here


def test_a_short_visit(tmp_path: Path) -> None:
    here = visit("short", tmp_path / "visit", 6)
    assert here.wrong == [] and here.did


def test_what_is_written_where_the_words_say_was_asked_for(tmp_path: Path) -> None:
    here = Visit("places", tmp_path / "visit")
    assert here.may_be_new(" notes/shoot-list.html", ["shoot", "leek-soup.yaml", "-o notes"])
    assert here.may_be_new("notes/shoot-list.html", ["shoot", "leek-soup.yaml", "-o", "notes"])
    assert not here.may_be_new("pack/shoot-list.html", ["shoot", "leek-soup.yaml", "-o notes"])


@pytest.mark.long
def test_hours_of_visits(tmp_path: Path) -> None:
    until, number, wrong = time.monotonic() + SECONDS, SEED, []
    did: Counter[str] = Counter()
    while time.monotonic() < until:
        here = visit(f"stranger {number}", tmp_path / str(number), ACTS, until)
        wrong += here.wrong
        did += here.did
        with Path(TOLD).open("a", encoding="utf-8") as file:
            file.write("\n".join([f"{number}: {dict(did)}", *here.wrong, ""]))
        number += 1
    assert wrong == []
    assert {"tap", "command", "terminal", "answers"} <= did.keys()
