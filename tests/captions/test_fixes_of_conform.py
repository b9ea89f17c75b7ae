"""Every `fix:` of `conform`, of `captions`, and of what `proof --fix` refuses, done as it says: the problem is gone, and no other comes
in its place. A row of ROWS is a problem: its code, the command, the files beside it, what its hint says, and how a cook follows it."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from messages import MESSAGE

Run = Callable[..., subprocess.CompletedProcess[str]]
COPY = "copy"
"""The commands of the hint are copied, and the last file that they write is used; else pairs of what is replaced by what, in the file
named first of three or, of two, in the command."""

TWO = "1\n00:00:01,000 --> 00:00:03,000\nSoften the leeks.\n\n2\n00:00:04,000 --> 00:00:06,000\nAdd the stock.\n"
LATE = TWO.replace("00:00:0", "00:00:1")
ASS = (
    "[Script Info]\nScriptType: v4.00+\n\n[Events]\nFormat: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text\n"
    "Dialogue: 0,0:00:03.00,0:00:01.00,Default,,0,0,0,,Soften the leeks.\n"
)
SEQUENCE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<tt xmlns="http://www.w3.org/ns/ttml" xml:lang="en"><body><div timeContainer="seq">\n'
    '<p dur="2s">Soften the leeks.</p>\n<p dur="2s">Add the stock.</p>\n</div></body></tt>\n'
)
BOUND = (
    SEQUENCE.replace('timeContainer="seq"', 'begin="1s" end="6s"')
    .replace('<p dur="2s">', '<p begin="0s" end="2s">', 1)
    .replace('<p dur="2s">', '<p begin="2s" end="4s">')
)
MOVE, MAPPED = "conform cut.srt --offset 1 -o moved.srt", "conform cut.srt --map map.csv -o moved.srt"
CAPTIONS, SUPPER = "captions seared-hake.yaml -o overlays.vtt", "captions harbour-supper.yaml -o overlays.vtt"

Follow = str | tuple[tuple[str, ...], ...]
ROWS: list[tuple[str, str, dict[str, str | bytes], str, Follow]] = [
    # code, command, files, what the hint says, how it is followed
    ("option", "conform cut.srt -o moved.srt", {}, "write --offset, --from and --to, or --map", (("-o moved", "--offset 1 -o moved"),)),
    ("option", "conform cut.srt --from 24 -o moved.srt", {}, "write --from 24 --to 25", (("--from 24", "--from 24 --to 25"),)),
    ("time", MOVE.replace(" 1 ", " 1:75 "), {}, "write 2:15,", (("1:75", "2:15"),)),
    ("time", MOVE.replace(" 1 ", " 0:75:30.5 "), {}, "write 1:15:30.5,", (("0:75:30.5", "1:15:30.5"),)),
    ("time", MOVE.replace(" 1 ", " soon "), {}, "write seconds or minutes:seconds, such as -1.5 or 2:05.5", (("soon", "2:05.5"),)),
    ("time", MAPPED, {"map.csv": "old,new\n0:75,0:00\n"}, "write 1:15,", (("map.csv", "0:75,", "1:15,"), ("map.csv", "1:15", "0:00"))),
    ("timecode", MOVE.replace(" 1 ", " 00:00:01:25 --fps 25 "), {}, "check the frame rate", (("--fps 25", "--fps 30"),)),
    ("map", MAPPED, {"map.csv": "old,new\n0:00\n"}, "write old,new such as 1:05,0:58.5 or 1:05,cut", (("map.csv", "0:00", "0:00,0:01"),)),
    ("map", MAPPED, {"map.csv": "old,new\n"}, "write old,new times, a line for each stretch", (("map.csv", "old,new\n", "old,new\n0:00,0:01\n"),)),
    ("map", MAPPED, {"map.csv": "0:00,0:01\n0:00,0:02\n"}, "keep one of them", (("map.csv", "0:00,0:02\n", ""),)),
    ("map", MAPPED, {"map.csv": 'old,new\n"0:00,0:01\n'}, "write old,new such as", (("map.csv", '"', ""),)),
    ("map-overlap", MAPPED, {"map.csv": "0:00,0:00\n0:03.5,0:03\n"}, "say so in the map: 0:03,cut", (("map.csv", "0:03.5", "0:03,cut\n0:03.5"),)),
    ("nothing-left", MAPPED, {"map.csv": "1:00,0:00\n"}, "check that its first column has the times of this file, from 0 on", (("map.csv", "1:00,", "0:00,"),)),
    ("fell-away", MAPPED, {"map.csv": "0:03.5,0:00\n"}, "begin the map with 0,0 or 0,cut", (("map.csv", "0:03.5,", "0,cut\n0:03.5,"),)),
    ("nothing-left", MOVE.replace(" 1 ", " -30 "), {"cut.srt": LATE}, "such as --offset -11", (("--offset -30", "--offset -11"),)),
    ("fell-away", MOVE.replace(" 1 ", " -13 "), {"cut.srt": LATE}, "such as --offset -11, to keep it", (("--offset -13", "--offset -11"),)),
    ("kind", MOVE.replace("moved.srt", "moved.vtt"), {}, "write -o moved.srt", (("-o moved.vtt", "-o moved.srt"),)),
    ("reversed", MOVE, {"cut.srt": TWO.replace("01,000 --> 00:00:03", "03,000 --> 00:00:01")}, "swap its times: 00:00:01,000 to 00:00:03,000",
     (("cut.srt", "00:00:03,000 --> 00:00:01,000", "00:00:01,000 --> 00:00:03,000"),)),
    ("reversed", MOVE, {"cut.srt": TWO.replace(" --> 00:00:03,000", " -->")}, "write 00:00:01,000 --> 00:00:02,190",
     (("cut.srt", "00:00:01,000 -->", "00:00:01,000 --> 00:00:02,190"),)),
    ("reversed", "conform cut.ass --offset 1 -o moved.ass", {"cut.ass": ASS}, "swap its times: 0:00:01.00 to 0:00:03.00",
     (("cut.ass", "0:00:03.00,0:00:01.00", "0:00:01.00,0:00:03.00"),)),
    ("words-lost", MOVE, {"cut.srt": f"Of the leeks\n\n{TWO}"}, "write their times over them", (("cut.srt", "Of the leeks\n\n", ""),)),
    ("words-lost", "proof cut.srt --fix mended.srt", {"cut.srt": f"Of the leeks\n\n{TWO}"}, "or take them out", (("cut.srt", "Of the leeks\n\n", ""),)),
    ("encoding", MOVE, {"cut.srt": TWO.replace("leeks", "crème fraîche").encode("mac_roman")}, "“Soften the crème fraîche.” is `--encoding mac-roman`", COPY),
    ("ttml-times", "conform cut.ttml --offset 1 -o moved.ttml", {"cut.ttml": SEQUENCE}, "give each paragraph there a begin and an end of its own",
     (("cut.ttml", ' timeContainer="seq"', ""), ("cut.ttml", '<p dur="2s">S', '<p begin="0s" end="2s">S'), ("cut.ttml", '<p dur="2s">A', '<p begin="2s" end="4s">A'))),
    ("ttml-times", "conform cut.ttml --offset 5 -o moved.ttml", {"cut.ttml": BOUND}, "remove that element's begin, end or dur", (("cut.ttml", ' begin="1s" end="6s"', ""),)),
    ("no-cues", MOVE, {"cut.srt": TWO.replace("00:00:0", "00:00:0x")}, "correct the times below", (("cut.srt", "00:00:0x", "00:00:0"),)),
    ("option", CAPTIONS.replace(".vtt", ".txt"), {}, "end it with .srt, .vtt, .ttml or .ass", (("overlays.txt", "overlays.vtt"),)),
    ("option", f"{CAPTIONS} --start soon", {}, "write hours:minutes:seconds:frames, such as 01:00:00:00", (("soon", "01:00:00:00"),)),
    ("option", f"{CAPTIONS} --start 00:01:00;00 --fps '29.97 drop'", {}, "the first label of this minute is 00:01:00;02", (("00:01:00;00", "00:01:00;02"),)),
    ("option", f"{CAPTIONS} --fps 23.97o", {}, "did you mean 23.976?", (("23.97o", "23.976"),)),
    ("option", f"{CAPTIONS} --fps 500", {}, "a number from 10 to 120", (("--fps 500", "--fps 25"),)),
    ("option", f"{CAPTIONS} --profile streming", {}, "did you mean streaming?", (("streming", "streaming"),)),
    ("option", f"{CAPTIONS} --font house.ttf", {}, "leave --font out", ((" --font house.ttf", ""),)),
    ("option", f"{SUPPER} --keep-words", {}, "name the transcript or the voice-over: --spoken FILE or --voice FILE", (("--keep-words", "--keep-words --spoken harbour-supper-cut.srt"),)),
    ("option", f"{SUPPER} --dialogue cut.srt --spoken harbour-supper-cut.srt", {}, "give one of the two", (("--dialogue cut.srt ", ""),)),
    ("option", "captions harbour-supper.yaml --spoken harbour-supper-cut.srt -o overlays.ass", {}, "end -o with .vtt, .ttml or .srt", (("overlays.ass", "overlays.vtt"),)),
    ("option", "captions seared-hake.yaml --dialogue cut.srt -o dialogue.vtt", {}, "give the overlay another name with -o, such as overlays.vtt", (("-o dialogue.vtt", "-o overlays.vtt"),)),
    ("dialogue-cue", f"{CAPTIONS} --dialogue cut.srt", {"cut.srt": TWO.replace("01,000 --> 00:00:03", "03,000 --> 00:00:01")}, "see what is wrong",
     (("cut.srt", "00:00:03,000 --> 00:00:01,000", "00:00:01,000 --> 00:00:03,000"),)),
    ("script-not-followed", f"{CAPTIONS} --spoken talk.srt", {"talk.srt": TWO}, "check that this is the transcript of this video", ((" --spoken talk.srt", ""),)),
    ("option", "overlays seared-hake.yaml --as none --size 1440p -o overlays", {}, "write 2560x1440", (("1440p", "2560x1440"),)),
    ("option", "overlays seared-hake.yaml --as none --size 1081x1921 -o overlays", {}, "write 1080x1920", (("1081x1921", "1080x1920"),)),
    ("option", "overlays seared-hake.yaml --as none --size 60x9000 -o overlays", {}, "write 120x8192", (("60x9000", "120x8192"),)),
    ("option", "overlays seared-hake.yaml --as none --size large -o overlays", {}, "such as 1920x1080", (("large", "1920x1080"),)),
    ("option", "overlays seared-hake.yaml --as none,gif -o overlays", {}, "", (("none,gif", "none"),)),
]  # fmt: skip
_COMMAND = re.compile(r"`(scriptkit [^`]+)`")


def codes(run: Run, command: str) -> tuple[list[str], str]:
    done = run(*shlex.split(command))
    return [m["code"] for m in MESSAGE.finditer(done.stderr)], done.stderr


@pytest.mark.parametrize(("code", "command", "files", "hint", "how"), ROWS, ids=[f"{r[0]}-{n}" for n, r in enumerate(ROWS)])  # fmt: skip
def test_a_fix_that_is_followed_takes_the_problem_away(
    code: str, command: str, files: dict[str, str | bytes], hint: str, how: Follow, tmp_path: Path, run: Run
) -> None:
    for name in ("*.yaml", "*-cut.srt") if command.startswith("captions harbour") else ("seared-hake.yaml",):
        for example in EXAMPLES.glob(name):
            shutil.copy(example, tmp_path)
    for name, text in {"cut.srt": TWO, "talk.srt": TWO, **files}.items():
        (tmp_path / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    before, printed = codes(run, command)
    assert code in before, printed
    said = next((m for m in re.findall(r"fix: (.*(?:\n {7}.*)*)", printed) if hint in " ".join(m.split())), "")
    assert said, printed
    if how == COPY:
        last = ""
        for copied in _COMMAND.findall(said):
            words = shlex.split(copied)
            assert run(*words[1:]).returncode < 2, copied
            last = words[-1]
        command = command.replace("cut.srt", last)
    for change in how if how != COPY else ():
        if len(change) == 3:
            path = tmp_path / change[0]
            text = path.read_text(encoding="utf-8")
            assert change[1] in text
            path.write_text(text.replace(change[1], change[2]), encoding="utf-8")
        else:
            assert change[0] in command
            command = command.replace(change[0], change[1])
    left, printed = codes(run, command)
    assert code not in left, printed
    assert not set(left) - set(before), printed
