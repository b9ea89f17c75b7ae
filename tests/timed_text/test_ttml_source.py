"""TTML: text read with the times, rates and containers of the file, and a file that is changed only where a cue was."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions.proofing.conform import offset, retimed
from scriptkit.captions.proofing.repair import write_captions
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo
from scriptkit.timed_text.markup import plain_lines
from scriptkit.timed_text.reading import CaptionFile, parse_captions
from scriptkit.timed_text.ttml_times import TtmlClock

HEAD = """\
<?xml version="1.0" encoding="UTF-8"?>
<!-- by hand, on the quay -->
<tt xmlns="http://www.w3.org/ns/ttml" xmlns:tts="http://www.w3.org/ns/ttml#styling" xmlns:ttm="http://www.w3.org/ns/ttml#metadata" xmlns:ttp="http://www.w3.org/ns/ttml#parameter" {} xml:lang="en">
  <head>
    <metadata><ttm:title>Leeks &amp; toast</ttm:title></metadata>
    <styling><style xml:id="s1" tts:color="white"/></styling>
    <layout><region xml:id="low"/><region xml:id="high"/></layout>
  </head>
  <body {}>
    <div>
"""
TAIL = "    </div>\n  </body>\n</tt>\n"
BODY = """\
      <p xml:id="a" begin="00:00:04.000" end="00:00:06.500" region="low" style="s1">Soften the <span tts:fontStyle="italic">leeks</span>,<br/>
        and wait.</p>
      <p begin="1s" dur="2s" region="high"><metadata><ttm:desc>a note</ttm:desc></metadata>2 &lt; 3 &amp; a&#160;pinch</p>
      <p region="low"><span begin="7s" end="8s">Pile it</span> <span begin="8s" end="9s">high.</span></p>
      <p region="low">Always here.</p>
"""


def ttml(body: str, parameters: str = "", of_body: str = "") -> str:
    return HEAD.format(parameters, of_body) + body + TAIL


def shown(file: CaptionFile) -> list[tuple[int, int, tuple[str, ...]]]:
    return [(c.start_ms, c.end_ms, plain_lines(c.text, "ttml")) for c in file.cues]


def test_paragraphs_are_cues_by_their_starts() -> None:
    file = parse_captions(ttml(BODY), "leeks.ttml")
    assert file.kind == "ttml" and [p.code for p in file.repairs] == ["no-time"]
    assert shown(file) == [
        (1000, 3000, ("2 < 3 & a\u00a0pinch",)),
        (4000, 6500, ("Soften the leeks,", "and wait.")),
        (7000, 9000, ("Pile it high.",)),
    ]
    assert [(c.line, c.settings) for c in file.cues] == [(13, "high"), (11, "low"), (14, "low")]


def test_what_is_not_changed_is_written_to_the_letter() -> None:
    for text in (ttml(BODY), ttml(BODY).replace("\n", "\r\n"), ttml(BODY).replace("<p", "<tt:p").replace("</p", "</tt:p").replace("<tt xmlns=", '<tt xmlns:tt="http://www.w3.org/ns/ttml" xmlns=')):  # fmt: skip
        file = parse_captions(text, "leeks.ttml")
        assert len(file.cues) == 3
        assert write_captions(file) == text


def test_only_what_changed_is_written_again() -> None:
    file = parse_captions(ttml(BODY), "leeks.ttml")
    later = [replace(c, start_ms=4125) if c.start_ms == 4000 else c for c in file.cues]
    assert write_captions(file, later) == ttml(BODY).replace("00:00:04.000", "00:00:04.125")
    longer = [replace(c, end_ms=3500) if c.start_ms == 1000 else c for c in file.cues]
    assert write_captions(file, longer) == ttml(BODY).replace('dur="2s"', 'dur="2.500s"')
    words = [replace(c, text=c.text.replace("pinch", "grain")) for c in file.cues]
    assert write_captions(file, words) == ttml(BODY).replace("a&#160;pinch", "a\u00a0grain")
    fewer = [c for c in file.cues if c.start_ms != 1000]
    assert "pinch" not in write_captions(file, fewer) and "Leeks &amp; toast" in write_captions(file, fewer)


@pytest.mark.parametrize(
    ("parameters", "time", "ms"),
    [
        ("", "00:00:10.500", 10_500), ("", "00:00:10:15", 10_500), ("", "1.5m", 90_000), ("", "10t", 10_000),
        ('ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001"', "36f", 1_502),
        ('ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001"', "00:01:00:12", 60_500),
        ('ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001" ttp:timeBase="smpte" ttp:dropMode="nonDrop"', "00:01:00:12", 60_560),
        ('ttp:frameRate="30" ttp:frameRateMultiplier="1000 1001" ttp:timeBase="smpte" ttp:dropMode="dropNTSC"', "00:01:00:02", 60_060),
        ('ttp:tickRate="10000000"', "15000000t", 1_500), ('ttp:frameRate="25" ttp:subFrameRate="2"', "00:00:01:05.1", 1_220),
    ],
)  # fmt: skip
def test_times_at_the_rates_of_the_file(parameters: str, time: str, ms: int) -> None:
    """TTML2, 8.2.3 and 12.3.1; drop frame by SMPTE ST 12-1."""
    text = ttml(f'<p begin="{time}" dur="2s">Stir.</p>', parameters)
    file = parse_captions(text, "f.ttml")
    assert [c.start_ms for c in file.cues] == [ms]
    assert write_captions(file, offset(offset(file.cues, 4004), -4004)) == text
    again = parse_captions(write_captions(file, offset(file.cues, 4004)), "f.ttml")
    assert abs(again.cues[0].start_ms - ms - 4004) <= (21 if "smpte" in parameters else 1)


def test_containers_count_from_their_own_beginning() -> None:
    body = '<div begin="10s" end="20s"><p begin="1s" end="3s">One.</p><p begin="8s" end="30s">Cut off.</p></div>'
    file = parse_captions(ttml(body, "", 'begin="100s"'), "f.ttml")
    assert [(c.start_ms, c.end_ms) for c in file.cues] == [(111_000, 113_000), (118_000, 120_000)]
    moved = write_captions(file, [replace(c, start_ms=c.start_ms + 250) for c in file.cues])
    assert 'begin="1.250s" end="3s"' in moved and 'begin="8.250s" end="30s"' in moved
    with pytest.raises(CannotDo, match="would fall outside the time of the element"):
        write_captions(file, offset(file.cues, 5_000))


def test_one_after_the_other() -> None:
    body = '<div timeContainer="seq"><p dur="2s">One.</p><p begin="1s" dur="2s">Two.</p></div>'
    file = parse_captions(ttml(body), "f.ttml")
    assert [(c.start_ms, c.end_ms) for c in file.cues] == [(0, 2000), (3000, 5000)]
    assert write_captions(file) == ttml(body)
    with pytest.raises(CannotDo, match="timeContainer"):
        write_captions(file, offset(file.cues, 500))


def test_times_inside_a_paragraph_move_and_stretch_with_it() -> None:
    inside = '<p begin="10s" end="14s">Pile <span begin="1s" end="2s">it</span> high.</p>'
    only = '<p><span begin="10s" end="12s">Pile</span><span begin="12s" end="14s">high.</span></p>'
    for body, later, slower in (
        (inside, 'begin="1s" end="2s"', 'begin="0.960s" end="1.920s"'),
        (only, 'begin="11.500s" end="13.500s"', 'begin="9.600s" end="11.520s"'),
    ):
        file = parse_captions(ttml(body), "f.ttml")
        moved = write_captions(file, offset(file.cues, 1_500))
        assert later in moved
        assert [(c.start_ms, c.end_ms) for c in parse_captions(moved, "f").cues] == [(11_500, 15_500)]
        cues = retimed(file.cues, RATES["24"], RATES["25"])
        stretched = write_captions(file, cues, Fraction(24, 25))
        assert slower in stretched
        assert [(c.start_ms, c.end_ms) for c in parse_captions(stretched, "f").cues] == [(9_600, 13_440)]


def test_spaces_that_count_and_those_that_do_not() -> None:
    body = '<p begin="1s" end="2s">\n   In goes\n   the   butter. </p><p begin="3s" end="4s" xml:space="preserve">In  goes\nit.</p>'
    file = parse_captions(ttml(body), "f.ttml")
    assert [c.text for c in file.cues] == ["In goes the butter.", "In  goes\nit."]


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        (ttml('<p begin="1s" end="2s">One <b>two</p>'), 11, "mismatched tag"),
        ('<!DOCTYPE tt [<!ENTITY a "b">]>\n<tt xmlns="http://www.w3.org/ns/ttml"/>', 1, "entities"),
        (ttml("<p/>", 'ttp:frameRate="25" ttp:frameRateMultiplier="1000 0"'), 3, "a frame rate"),
        (ttml("<span>" * 300 + "</span>" * 300), 11, "too deeply"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(text: str, line: int, why: str) -> None:
    with pytest.raises(CannotDo) as refused:
        parse_captions(text, "f.ttml")
    assert refused.value.problems[0].place.line == line and why in refused.value.problems[0].message


def test_an_odd_time_is_read_and_one_that_is_none_stays() -> None:
    body = '<p begin="1:02.5" end="64">Stir.</p><p begin="soon" end="70s">Later.</p>'
    file = parse_captions(ttml(body), "f.ttml")
    assert [(c.start_ms, c.end_ms) for c in file.cues] == [(62_500, 64_000)]
    assert sorted(p.code for p in file.repairs) == ["broken-time", "odd-time"]
    assert write_captions(file) == ttml(body)


def test_another_encoding_is_declared_again() -> None:
    text = ttml(BODY).replace('encoding="UTF-8"', "encoding='utf-16'")
    assert "encoding='UTF-8'" in write_captions(parse_captions(text, "f.ttml"))


PIECES = ["Stir", " ", ",", "<br/>", "<span>", "</span>", "&amp;", "&#189;", "<!-- a -->", "<span tts:color='red'>x</span>", "{", "{\\#0}", "<![CDATA[a < b]]>", "]]&gt;"]  # fmt: skip


@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=6).map("".join), max_size=4))
def test_any_text_is_written_again_as_it_was(texts: list[str]) -> None:
    balanced = [t if t.count("<span>") == t.count("</span>") and not t.startswith("</span>") else "Stir" for t in texts]
    text = ttml("".join(f'<p begin="{n}s" end="{n}.9s">{t}</p>\n' for n, t in enumerate(balanced)))
    try:
        file = parse_captions(text, "f.ttml")
    except CannotDo as refused:
        assert refused.problems[0].code == "xml"
        return
    assert write_captions(file) == text
    longer = write_captions(file, [replace(c, text=c.text + "!") for c in file.cues])
    words = [plain_lines(c.text + "!", "ttml") for c in file.cues]
    assert [plain_lines(c.text, "ttml") for c in parse_captions(longer, "f").cues] == words


def test_a_time_like_the_one_that_stood_there() -> None:
    clock = TtmlClock.of({"frameRate": "25"})
    assert clock.like(Fraction(7, 5), "00:00:01:00") == "00:00:01:10"
    assert clock.like(Fraction(7, 5), "25f") == "35f"
    assert clock.like(Fraction(7, 5), "1h") == "1.400s"
