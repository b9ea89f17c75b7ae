"""ASS and SSA: events read as cues, and a file that is changed only where a cue was."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions.proofing.repair import write_captions
from scriptkit.timed_text.markup import plain_lines
from scriptkit.timed_text.reading import ReadCue, parse_captions

HEAD = """\
[Script Info]
; by hand, on the quay
Title: Leeks
WrapStyle: {wrap}

[V4+ Styles]
Format: Name, Fontname, Fontsize, Alignment, MarginL, MarginR, MarginV
Style: Default,Arial,48,2,10,10,40
Style: Above,Arial,48,8,10,10,40

[Fonts]
fontname: none.ttf
M(F]5

[Events]
Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text
"""
EVENTS = r"""Comment: 0,0:00:00.00,0:00:01.00,Default,,0,0,0,,check this
Dialogue: 0,0:00:04.00,0:00:06.50,Default,Cook,0,0,0,,{\i1}Soften{\i0} the leeks,\Nand {a note}wait.
Dialogue: 1,0:00:01.00,0:00:03.00,Above,,0,0,0,,2 < 3 & a\hpinch
Dialogue: 0,0:00:07.00,0:00:09.00,Default,,0,0,0,,{\move(1,2,3,4)}Pile it high.
Dialogue: 0,0:00:10.00,0:00:12.00,Default,,0,0,0,,{\p1}m 0 0 l 100 0{\p0}
Dialogue: 0,0:00:13.00,0:00:14.00,Default,,0,0,0,,Soft\nend
"""
TEXT = HEAD.format(wrap=0) + EVENTS


def test_events_are_cues_by_their_starts() -> None:
    file = parse_captions(TEXT, "leeks.ass")
    assert file.kind == "ass" and file.repairs == ()
    shown = [(c.start_ms, c.end_ms, plain_lines(c.text, "ass")) for c in file.cues if not c.settings.startswith("!")]
    assert shown == [
        (1000, 3000, ("2 < 3 & a\u00a0pinch",)),
        (4000, 6500, ("Soften the leeks,", "and wait.")),
        (13000, 14000, ("Soft end",)),
    ]
    kept = [c.line for c in file.cues if c.settings.startswith("!")]
    assert kept == [17, 20, 21]  # a remark, what moves, a drawing


def test_what_is_not_changed_is_written_to_the_letter() -> None:
    for text in (TEXT, TEXT.replace("\n", "\r\n"), TEXT.rstrip("\n")):
        assert write_captions(parse_captions(text, "leeks.ass")) == text


def test_only_what_changed_is_written_again() -> None:
    file = parse_captions(TEXT, "leeks.ass")
    cues = [replace(c, start_ms=4123) if c.start_ms == 4000 else c for c in file.cues]
    assert write_captions(file, cues) == TEXT.replace("0:00:04.00,0:00:06.50", "0:00:04.12,0:00:06.50")
    cues = [replace(c, text=c.text.replace("wait", "rest")) for c in file.cues]
    assert write_captions(file, cues) == TEXT.replace("wait.", "rest.")
    assert write_captions(file, [c for c in file.cues if c.start_ms != 1000]) == "".join(
        line for line in TEXT.splitlines(keepends=True) if "pinch" not in line
    )


@pytest.mark.parametrize("wrap", [0, 2])
def test_soft_line_ends_and_hard_spaces_come_back(wrap: int) -> None:
    text = (
        HEAD.format(wrap=wrap)
        + "Dialogue: 0,0:00:01.00,0:00:03.00,Default,,0,0,0,,one\\ntwo\\Nthree\\hfour {\\b1}& <i>\n"
    )
    file = parse_captions(text, "f.ass")
    assert len(plain_lines(file.cues[0].text, "ass")) == (3 if wrap == 2 else 2)
    changed = [replace(c, text=c.text.replace("four", "five")) for c in file.cues]
    assert write_captions(file, changed) == text.replace("four", "five")


def test_events_of_other_places_do_not_follow_one_another() -> None:
    rows = ["{\\an8}up", "{\\an8\\pos(1,2)}left", "{\\an8\\pos(3,2)}right", "down", "{\\b1}down too"]
    events = "".join(f"Dialogue: 0,0:00:01.00,0:00:02.00,Default,,0,0,0,,{row}\n" for row in rows)
    file = parse_captions(HEAD.format(wrap=0) + events, "f.ass")
    assert len({c.settings for c in file.cues}) == 4


def test_a_broken_event_is_told_and_stays() -> None:
    text = TEXT + "Dialogue: 0,soon,0:00:20.00,Default,,0,0,0,,Nobody knows when.\nDialogue: 0,0:00:21.00\n"
    file = parse_captions(text, "f.ass")
    assert [(p.code, p.place.line) for p in file.repairs] == [("broken-time", 23), ("broken-time", 24)]
    assert write_captions(file) == text


def test_ssa_of_another_order_of_fields() -> None:
    text = "[Script Info]\nScriptType: v4.00\n\n[Events]\nFormat: Marked, Style, Start, End, Text\nDialogue: Marked=0,Default,0:00:01.00,0:00:02.00,Stir, and wait.\n"
    file = parse_captions(text, "f.ssa")
    assert [(c.start_ms, c.text) for c in file.cues] == [(1000, "Stir, and wait.")]
    moved = [replace(c, start_ms=1500) for c in file.cues]
    assert write_captions(file, moved) == text.replace("0:00:01.00", "0:00:01.50")


PIECES = [
    "Stir",
    " ",
    ",",
    "\\N",
    "\\n",
    "\\h",
    "{\\i1}",
    "{\\pos(3,4)}",
    "{a note}",
    "{",
    "}",
    "<i>",
    "&amp;",
    "½",
    "{\\#0}",
    "\\",
]


@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=6).map("".join), max_size=4))
def test_any_text_is_written_again_as_it_was(texts: list[str]) -> None:
    rows = [f"Dialogue: 0,0:00:0{n}.00,0:00:0{n}.90,Default,,0,0,0,,{text}\n" for n, text in enumerate(texts)]
    text = HEAD.format(wrap=0) + "".join(rows)
    file = parse_captions(text, "f.ass")
    assert write_captions(file) == text
    longer: list[ReadCue] = [replace(c, text=c.text + "!") for c in file.cues]
    assert write_captions(file, longer) == HEAD.format(wrap=0) + "".join(r[:-1] + "!\n" for r in rows)
