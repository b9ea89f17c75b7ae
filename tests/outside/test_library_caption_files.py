"""Files of other libraries' own tests, of every kind that is read: written again to the letter, and repaired without a word lost. They
stand in no package: name a folder of them with CAPTION_FILES (pysubs2's tests/data, ttconv's src/test/resources, ...)."""

from __future__ import annotations

import os
import random
import re
import sys
from collections import Counter
from pathlib import Path

import pysubs2
import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "long"))
sys.path.insert(0, str(Path(__file__).parent.parent / "captions"))
from mutations import mutated
from test_ass_and_ttml import lost_of

from scriptkit.captions.proofing.repair import write_captions
from scriptkit.problems import CannotDo
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.markup import plain_lines
from scriptkit.timed_text.reading import parse_captions

KINDS = {".ass", ".ssa", ".ttml", ".xml", ".dfxp"}


def files() -> list[Path]:
    folder = os.environ.get("CAPTION_FILES")
    if not folder:
        pytest.skip("CAPTION_FILES names no folder")
    return sorted(p for p in Path(folder).rglob("*") if p.suffix in KINDS)


def test_each_is_written_again_to_the_letter_and_repaired_without_a_loss() -> None:
    read = 0
    for path in files():
        data = path.read_bytes()
        text, told = decode(data, path.name)
        try:
            file = parse_captions(text, path.name, told)
            if file.source is None:
                continue
            read += 1
            blank = "xml" in {p.code for p in file.repairs}  # one before <?xml is taken out
            as_utf8 = re.sub("(?<=encoding=.)UTF-16", "UTF-8", text)
            assert write_captions(file) == (as_utf8.lstrip() if blank else as_utf8), path
            assert lost_of(data, path.name) == (Counter(), True), path
        except CannotDo as refused:
            assert {p.code for p in refused.problems} <= {"xml", "rate", "ttml-times"}, path
    assert read


def test_pysubs2_reads_the_same_events() -> None:
    for path in files():
        if path.suffix != ".ass":
            continue
        ours = parse_captions(path.read_text(encoding="utf-8-sig"), path.name)
        events = sorted((e.start, e.end) for e in pysubs2.load(str(path), encoding="utf-8-sig"))
        assert sorted((c.start_ms, c.end_ms) for c in ours.cues) == events, path
        texts = Counter(w for e in pysubs2.load(str(path), encoding="utf-8-sig") for w in e.plaintext.split())
        found = Counter(w for c in ours.cues for line in plain_lines(c.text, "ass") for w in line.split())
        assert found == texts, path


def test_mutated_ones_lose_nothing() -> None:
    seeds = [p.read_bytes() for p in files() if p.stat().st_size < 60_000]
    for n in range(int(os.environ.get("FUZZ", "200"))):
        try:
            lost, _ = lost_of(mutated(seeds, random.Random(n)), "f")
        except CannotDo:
            continue
        assert not lost, (n, lost)
