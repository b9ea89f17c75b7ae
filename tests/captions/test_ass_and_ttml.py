"""`proof`, `proof --fix` and `conform` of ASS and TTML: repaired in their own kind, and nothing lost that was not repaired."""

from __future__ import annotations

import random
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from messages import kinds, placed

sys.path.insert(0, str(Path(__file__).parent.parent / "long"))
from kinds import ASS, TTML
from mutations import mutated

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repaired, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.markup import MARKUP, plain_lines
from scriptkit.timed_text.reading import CaptionFile, parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]

ASS_HEAD = r"""[Script Info]
Title: Leeks
; by hand

[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, Alignment, MarginL, MarginR, MarginV
Style: Default,Arial,48,&H00FFFFFF,2,10,10,40
Style: Above,Arial,48,&H00FFFFFF,8,10,10,40

[Events]
Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text
"""
ASS_BEFORE = r"""Dialogue: 0,0:00:04.01,0:00:05.51,Default,,0,0,0,,{\i1}In goes the butter and the\Nfennel.{\i0}
Dialogue: 0,0:00:01.00,0:00:04.21,Default,,0,0,0,,First, all of the celeriac.
Dialogue: 0,0:00:01.00,0:00:04.00,Above,,0,0,0,,{\fad(200,200)}Hot oil spits.
Comment: 0,0:00:01.00,0:00:02.00,Default,,0,0,0,,ask about this
Dialogue: 0,0:00:08.00,0:00:08.40,Default,,0,0,0,,{\b1}
Dialogue: 0,0:00:09.00,0:00:12.00,Default,,0,0,0,,{\move(0,0,9,9)}{\k20}on{\k30}and{\k10}on
"""
ASS_AFTER = r"""Dialogue: 0,0:00:04.00,0:00:05.76,Default,,0,0,0,,{\i1}In goes the butter and the fennel.{\i0}
Dialogue: 0,0:00:01.00,0:00:04.00,Default,,0,0,0,,First, all of the celeriac.
Dialogue: 0,0:00:01.00,0:00:04.00,Above,,0,0,0,,{\fad(200,200)}Hot oil spits.
Comment: 0,0:00:01.00,0:00:02.00,Default,,0,0,0,,ask about this
Dialogue: 0,0:00:09.00,0:00:12.00,Default,,0,0,0,,{\move(0,0,9,9)}{\k20}on{\k30}and{\k10}on
"""
TTML_HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<tt xmlns="http://www.w3.org/ns/ttml" xmlns:tts="http://www.w3.org/ns/ttml#styling" xml:lang="en">
  <head><!-- by hand --><layout><region xml:id="low" tts:origin="10% 80%"/><region xml:id="top"/></layout></head>
  <body><div>
"""
TTML_BEFORE = """    <p begin="4010ms" end="00:00:05.510" region="low"><span tts:color="white">In goes the butter and the<br/>fennel.</span></p>
    <p begin="1s" end="4.21s" region="low">First, all of the celeriac.</p>
    <p begin="1s" end="4s" region="top">Hot oil spits.</p>
    <p begin="8s" end="8.4s" region="low"><span> </span></p>
  </div></body></tt>
"""
TTML_AFTER = """    <p begin="4000ms" end="00:00:05.760" region="low"><span tts:color="white">In goes the butter and the fennel.</span></p>
    <p begin="1s" end="4.000s" region="low">First, all of the celeriac.</p>
    <p begin="1s" end="4s" region="top">Hot oil spits.</p>
  </div></body></tt>
"""
CASES = {"cut.ass": (ASS_HEAD, ASS_BEFORE, ASS_AFTER), "cut.ttml": (TTML_HEAD, TTML_BEFORE, TTML_AFTER)}


@pytest.mark.parametrize("name", CASES)
def test_what_is_repaired_and_nothing_else(run: Run, tmp_path: Path, name: str) -> None:
    head, before, after = CASES[name]
    (tmp_path / name).write_text(head + before, encoding="utf-8")
    done = run("proof", name, "--fps", "25", "--profile", "streaming", "--fix", name)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / name).read_text(encoding="utf-8") == head + after


@pytest.mark.parametrize("name", CASES)
def test_what_is_wrong_is_told_where_it_stands(run: Run, tmp_path: Path, name: str) -> None:
    head, before, _ = CASES[name]
    (tmp_path / name).write_text(head + before, encoding="utf-8")
    told = placed(run("proof", name).stderr)
    first = head.count("\n") + 1
    assert f"{name}:{first}:1 error overlap" in told or any("overlap" in row and f":{first}" in row for row in told)
    assert not any(f":{first + 2}" in row for row in told)  # at another place of the picture nothing overlaps it


@pytest.mark.parametrize("name", CASES)
def test_they_are_moved_in_their_own_kind(run: Run, tmp_path: Path, name: str) -> None:
    head, before, _ = CASES[name]
    (tmp_path / name).write_text(head + before, encoding="utf-8")
    assert run("conform", name, "--offset", "10", "-o", "moved").returncode == 0
    moved = parse_captions((tmp_path / "moved").read_text(encoding="utf-8"), "moved")
    was = parse_captions(head + before, name)
    assert [(c.start_ms - 10_000, c.end_ms - 10_000, c.text) for c in moved.cues] == [
        (c.start_ms, c.end_ms, c.text) for c in was.cues
    ]
    assert run("conform", "moved", "--offset", "-10", "-o", "back").returncode == 0
    back = parse_captions((tmp_path / "back").read_text(encoding="utf-8"), "back")
    assert [(c.start_ms, c.text) for c in back.cues] == [(c.start_ms, c.text) for c in was.cues]


@pytest.mark.parametrize("kind", ["srt", "vtt", "ttml"])
@pytest.mark.parametrize("name", CASES)
def test_as_dialogue_they_are_written_in_the_kind_that_is_asked_for(
    run: Run, tmp_path: Path, name: str, kind: str
) -> None:
    (tmp_path / name).write_text(CASES[name][0] + CASES[name][2].replace("the fennel", "salt &amp; fennel" if name.endswith("ttml") else "salt & fennel"), encoding="utf-8")  # fmt: skip
    done = run("captions", str(EXAMPLES / "seared-hake.yaml"), "--dialogue", name, "-o", f"over.{kind}")
    assert done.returncode in (0, 1), done.stderr
    made = parse_captions((tmp_path / f"dialogue.{kind}").read_text(encoding="utf-8"), "made")
    assert made.kind == kind and not [p for p in made.repairs if p.severity == "error"]
    assert any("butter and salt & fennel" in " ".join(plain_lines(c.text, kind)) for c in made.cues)


def test_xml_that_is_none_is_refused(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.ttml").write_text(TTML_HEAD + "<p begin='1s' end='2s'>salt & pepper</p>", encoding="utf-8")
    done = run("proof", "cut.ttml", "--fix", "out.ttml")
    assert done.returncode == 2 and "error xml" in kinds(done.stderr)
    assert not (tmp_path / "out.ttml").exists()


def bag(file: CaptionFile) -> Counter[str]:
    found: Counter[str] = Counter()
    for cue in file.cues:
        found.update(w for line in plain_lines(cue.text, file.kind) for w in line.split())
        if plain_lines(cue.text, file.kind) or cue.settings.startswith("!"):
            found.update(MARKUP.findall(cue.text))
    return found


def lost_of(data: bytes, name: str) -> tuple[Counter[str], bool]:
    """Words and tags that are not in what is written, and whether the file could be read at all."""
    text, problems = decode(data, name)
    file = parse_captions(text, name, problems)
    if file.source is None:
        return Counter(), False
    sheet = Sheet(file, profiles()["streaming"], RATES["25"])
    proof(sheet)
    done = repaired(sheet)
    again = parse_captions(write_captions(done.file), name)
    if done.wrong or done.taken_out:
        return Counter(), True
    was = Counter({w: n for w, n in bag(file).items() if "\ufffd" not in w and w.isprintable()})
    return was - bag(again), True


@pytest.mark.parametrize(("seed", "name"), [(ASS, "f.ass"), (TTML, "f.ttml")])
def test_of_mutated_files_no_word_is_lost(seed: bytes, name: str) -> None:
    read = 0
    for n in range(150):
        data = mutated([seed], random.Random(n))
        try:
            lost, is_one = lost_of(data, name)
        except CannotDo:
            continue
        read += is_one
        assert not lost, (n, lost)
    assert read >= 30


@pytest.mark.parametrize("rate", ["23.976", "25", "29.97", "59.94"])
def test_what_is_drawn_on_frames_lies_on_frames_as_finely_as_ass_says_a_time(
    run: Run, tmp_path: Path, rate: str
) -> None:
    from conftest import EXAMPLES

    run("captions", str(EXAMPLES / "seared-hake.yaml"), "--fps", rate, "-o", "over.ass")
    assert "off-frame" not in run("proof", "over.ass", "--fps", rate).stderr
    line = "Dialogue: 0,0:00:01.02,0:00:03.02,Default,,0,0,0,,Salt.\n"
    (tmp_path / "off.ass").write_text(f"[Script Info]\n\n[Events]\n{line}", encoding="utf-8")
    assert ("off-frame" in run("proof", "off.ass", "--fps", rate).stderr) == (rate in ("23.976", "25", "29.97"))


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            ASS_HEAD + r"Dialogue: 0,0:00:01.00,0:00:09.00,Default,,0,0,0,,Melt the\Nbutter in" + r"\Nthe pan." + "\n",
            12,
        ),
        (TTML_HEAD + '    <p begin="1s" end="9s">Melt the<br/>butter in<br/>the pan.</p>\n  </div></body></tt>\n', 5),
    ],
)
def test_a_problem_of_the_words_stands_on_the_line_of_its_cue(text: str, line: int) -> None:
    found = proof(Sheet(parse_captions(text, "f"), profiles()["streaming"]))
    assert {p.place.line for p in found if p.code == "break"} == {line}


@pytest.mark.parametrize("hundredths", [1, 2, 3])
def test_a_cue_of_ass_that_is_made_longer_is_long_enough_as_it_is_written(hundredths: int) -> None:
    text = ASS_HEAD + f"Dialogue: 0,0:00:01.0{hundredths},0:00:01.20,Default,,0,0,0,,Mint.\n"
    streaming = profiles()["streaming"]
    written = write_captions(repaired(Sheet(parse_captions(text, "f.ass"), streaming)).file)
    assert not proof(Sheet(parse_captions(written, "f.ass"), streaming))
