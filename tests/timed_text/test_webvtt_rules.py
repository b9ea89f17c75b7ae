"""The W3C's rules for WebVTT as a checklist: each broken once in a file that keeps them all, found, and mended where that is safe."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.pack import make_pack
from scriptkit.production import read
from scriptkit.timed_text.reading import parse_captions
from scriptkit.timed_text.webvtt import write_chapters

KEPT = """\
WEBVTT of the quay

STYLE
::cue { color: white }

NOTE salt and pepper

one
00:01.000 --> 00:03.000 line:10% position:50% size:90% align:center
Salt &amp; <i>pepper</i>

NOTE between two cues

two
00:00:03.000 --> 00:00:05.000
In goes the butter.
"""

# W3C WebVTT: the rule, what is written instead, the code that tells it, and whether `--fix` mends it.
RULES = [
    ("begins with WEBVTT and a space", "WEBVTT of the quay", "WEBVTTof the quay", "vtt-signature", True),
    ("a blank line after the signature", "WEBVTT of the quay\n\n", "WEBVTT of the quay\n", "vtt-signature", True),
    ("STYLE before the first cue", "NOTE between two cues", "STYLE\n::cue { color: red }", "late-block", True),
    ("REGION before the first cue", "NOTE between two cues", "REGION\nid:a", "late-block", True),
    ("nothing but NOTE between cues", "NOTE between two cues", "between two cues", "stray-text", True),
    ("no arrow in a NOTE", "NOTE between two cues", "NOTE between --> two cues", "arrow", False),
    ("no arrow in a NOTE at the head", "NOTE salt and pepper", "NOTE salt --> pepper", "arrow", False),
    ("no arrow in a name", "\ntwo\n", "\ntwo --> three\n", "arrow", False),
    ("no arrow in the text", "In goes the butter.", "In goes --> the butter.", "arrow", True),
    ("names are unique", "\ntwo\n", "\none\n", "vtt-name", False),
    ("minutes have two figures", "00:01.000 -->", "0:01.000 -->", "odd-time", True),
    ("hours have two figures", "00:00:03.000 -->", "0:00:03.000 -->", "odd-time", True),
    ("thousandths after a point", "00:00:03.000 -->", "00:00:03,000 -->", "odd-time", True),
    ("three figures of thousandths", "00:00:03.000 -->", "00:00:03.0 -->", "odd-time", True),
    ("a space before and after the arrow", "00:00:03.000 --> ", "00:00:03.000-->", "odd-time", True),
    ("an end after the start", "--> 00:00:05.000", "--> 00:00:03.000", "reversed", False),
    ("starts never decrease", "00:00:03.000 --> 00:00:05.000", "00:00:00.100 --> 00:00:01.000", "order", True),
    ("each setting once", "size:90%", "line:20%", "vtt-setting", False),
    ("only known settings", "size:90%", "height:90%", "vtt-setting", False),
    ("percentages up to 100", "size:90%", "size:101%", "vtt-setting", False),
    ("percentages from 0", "size:90%", "size:-1%", "vtt-setting", False),
    ("line in percent or whole lines", "line:10%", "line:1.5", "vtt-setting", False),
    ("known words of align", "align:center", "align:middle", "vtt-setting", False),
    ("& is written &amp;", "&amp;", "&", "vtt-escape", True),
    ("< is written &lt;", "In goes the butter.", "Less than <5 g.", "vtt-escape", True),
    ("tags are closed", "</i>", "", "markup", False),
]  # fmt: skip


def codes(text: str) -> list[str]:
    return [p.code for p in proof(Sheet(parse_captions(text, "f.vtt"), profiles()["streaming"]))]


def test_a_file_that_keeps_every_rule_is_quiet_and_stays_as_it_is() -> None:
    assert codes(KEPT) == []
    again = write_captions(parse_captions(KEPT, "f.vtt"))
    assert again.replace("00:00:01.000 --> 00:00:03", "00:01.000 --> 00:03") == KEPT


@pytest.mark.parametrize(("rule", "old", "new", "code", "mended"), RULES, ids=[r[0] for r in RULES])
def test_each_rule(rule: str, old: str, new: str, code: str, mended: bool) -> None:
    assert KEPT.count(old) == 1, rule
    broken = KEPT.replace(old, new)
    assert code in codes(broken), rule
    again = write_captions(repair_captions(Sheet(parse_captions(broken, "f.vtt"), profiles()["streaming"])))
    assert (code not in codes(again)) is mended, rule
    assert "pepper" in again


@pytest.mark.parametrize(
    ("line", "told"), [("Salt & pepper", 1), ("Salt < 3 g", 1), ("Salt &amp; pepper", 0), ("Salt", 0)]
)
def test_each_sign_is_found_where_it_stands_alone(line: str, told: int) -> None:
    assert codes(f"WEBVTT\n\n00:01.000 --> 00:04.000\n{line}\n").count("vtt-escape") == told


@pytest.mark.parametrize("name", ["fennel-bisque", "harbour-supper"])
def test_what_we_write_keeps_every_rule(name: str) -> None:
    files = make_pack(read(str(EXAMPLES / f"{name}.yaml"))).files
    for file in (f for f in files if f.endswith(".vtt")):
        parsed = parse_captions(files[file], file)
        assert parsed.cues
        assert parsed.repairs == ()
        found = {p.code for p in proof(Sheet(parsed, profiles()["streaming"]))}
        assert not {c for c in found if c.startswith(("vtt", "arrow", "markup", "order", "reversed", "overlap"))}


def test_chapters_keep_every_rule_and_never_overlap() -> None:
    text = write_chapters([(0, "Opening"), (65_000, "Sear & turn --> plate"), (3_600_000, "<b>")], 3_700_000)
    read = parse_captions(text, "chapters.vtt")
    assert read.repairs == ()
    assert not [c for c in codes(text) if c.startswith(("vtt", "arrow", "overlap", "order"))]
    assert [(c.start_ms, c.end_ms) for c in read.cues] == [(0, 65_000), (65_000, 3_600_000), (3_600_000, 3_700_000)]
