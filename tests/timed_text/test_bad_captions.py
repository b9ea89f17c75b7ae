"""Bad caption files: read leniently where that is safe, and what was repaired is said; refused clearly otherwise; never a
traceback, and the file is never changed unless it is named to be."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds

from scriptkit.cut.cut_reader import LARGEST_CUT
from scriptkit.cut.transcript.transcript_reader import LARGEST_TRANSCRIPT
from scriptkit.shoot.log.csv_cells import MOST_BYTES
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.reading import parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]

GOOD = (
    "1\n00:00:01,000 --> 00:00:03,000\nIn goes the butter,\nall of it.\n\n"
    "2\n00:00:03,080 --> 00:00:05,000\nSoft and glossy: crème.\n"
)


def srt(times: str = "00:00:03,080 --> 00:00:05,000", text: str = "Soft and glossy: crème.") -> bytes:
    return GOOD.replace("00:00:03,080 --> 00:00:05,000", times).replace("Soft and glossy: crème.", text).encode()


# What is wrong, the file, what is told of it (empty: nothing), and how many cues are read.
BAD: list[tuple[str, bytes, str, int]] = [
    ("cut off in the text", GOOD.encode()[:-12], "", 2),
    ("cut off in a line of times", GOOD.encode()[: GOOD.index("05,000") + 1], "reversed", 2),
    ("cut off after the number", GOOD.encode()[: GOOD.index("\n00:00:03")], "", 1),
    ("cut off in a character", GOOD.encode()[: GOOD.encode().index(b"\xc3") + 1], "encoding", 2),
    ("mixed line ends", GOOD.replace("\n", "\r\n", 3).replace("it.\n", "it.\r").encode(), "", 2),
    ("old line ends", GOOD.replace("\n", "\r").encode(), "", 2),
    ("UTF-16", GOOD.encode("utf-16"), "encoding", 2),
    ("UTF-16, big end first", b"\xfe\xff" + GOOD.encode("utf-16-be"), "encoding", 2),
    ("UTF-16 without its mark", GOOD.encode("utf-16-le"), "encoding", 2),
    ("Latin-1", GOOD.encode("latin-1"), "encoding-unsure", 2),
    ("one broken byte", GOOD.replace("butter", "beurre à l'eau").encode().replace(b"all", b"\xff"), "encoding", 2),
    ("a mark of byte order", b"\xef\xbb\xbf" + GOOD.encode(), "", 2),
    ("negative times", srt("-00:00:03,080 --> 00:00:05,000"), "negative-time", 2),
    ("reversed times", srt("00:00:05,000 --> 00:00:03,080"), "reversed", 2),
    ("no time at all", srt("00:00:05,000 --> 00:00:05,000"), "reversed", 2),
    ("a time of letters", srt("00:00:0x,000 --> 00:00:05,000"), "broken-time", 1),
    ("times as others write them", srt("0:03.08 -> 0:00:05"), "odd-time", 2),
    ("nine hours on", srt("09:00:03,080 --> 09:00:05,000"), "", 2),
    ("a hundred hours on", srt("100:00:03,080 --> 100:00:05,000"), "odd-time", 2),
    ("an arrow in the text", srt(text="Soft --> and glossy."), "arrow", 2),
    ("times in the text", srt(text="Soft\n00:00:06,000 --> 00:00:07,500\nand glossy."), "", 3),
    ("HTML in the text", srt(text="<div class='x'>Soft</div> <script>alert(1)</script>"), "", 2),
    ("a tag that is never closed", srt(text="<i>Soft and glossy."), "markup", 2),
    ("zero-width characters", srt(text="Soft\u200b and\u2060 glossy."), "characters", 2),
    ("control characters", srt(text="Soft\x00 and\x1b[31m glossy.\x07"), "characters", 2),
    ("out of order", srt("00:00:00,080 --> 00:00:00,960"), "order", 2),
    ("no numbers", b"00:00:01,000 --> 00:00:03,000\nOne\n\n00:00:03,080 --> 00:00:05,000\nTwo\n", "", 2),
    ("wrong numbers", GOOD.replace("2\n00", "17\n00").encode(), "", 2),
    ("no blank line between", GOOD.replace("\n\n", "\n").encode(), "", 2),
    ("many blank lines", GOOD.replace("\n\n", "\n" * 50_000).encode() + b"\n" * 950_000, "", 2),
    ("a cue without text", srt(text=""), "empty", 2),
    ("words before the first cue", b"my captions\n\n" + GOOD.encode(), "stray-text", 2),
    ("a very long line", srt(text="Soft " * 20_000), "too-wide", 2),
]  # fmt: skip
REFUSED: list[tuple[str, bytes]] = [
    ("empty", b""),
    ("blank lines alone", b"\n" * 1_000_000),
    ("a picture", b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40),
    ("prose", b"Soften the fennel in butter.\n" * 50),
    ("a WebVTT head alone", b"WEBVTT\n\nNOTE nothing\n"),
]


@pytest.mark.parametrize(("what", "raw", "told", "cues"), BAD, ids=[b[0] for b in BAD])
def test_it_is_read_and_what_was_repaired_is_said(
    run: Run, tmp_path: Path, what: str, raw: bytes, told: str, cues: int
) -> None:
    file = tmp_path / "cut.srt"
    file.write_bytes(raw)
    done = run("proof", "cut.srt", "--fix", "mended.srt")
    words_lost = told in ("broken-time", "stray-text", "encoding-unsure")
    assert done.returncode == 2 if words_lost else done.returncode in (0, 1), done.stderr
    assert "Traceback" not in done.stderr
    assert file.read_bytes() == raw, what
    text, repairs = decode(raw, "cut.srt")
    assert len(parse_captions(text, "cut.srt", repairs).cues) == cues
    found = run("proof", "cut.srt").stderr
    assert (f"[{told}]" in found) if told else not any(k.startswith("error") for k in kinds(found))
    if not words_lost:
        mended = (tmp_path / "mended.srt").read_bytes()
        assert len(mended) < 200_000
        again = run("proof", "mended.srt", "--fix", "again.srt")
        assert again.returncode in (0, 1)
        assert (tmp_path / "again.srt").read_bytes() == mended  # repaired once is repaired
    moved = run("conform", "cut.srt", "--offset", "1.5", "-o", "moved.srt")
    assert moved.returncode == 2 if words_lost else moved.returncode in (0, 1), moved.stderr
    assert file.read_bytes() == raw


@pytest.mark.parametrize(("what", "raw"), REFUSED, ids=[r[0] for r in REFUSED])
def test_what_is_no_caption_file_is_refused(run: Run, tmp_path: Path, what: str, raw: bytes) -> None:
    (tmp_path / "cut.srt").write_bytes(raw)
    for command in (("proof", "cut.srt", "--fix", "m.srt"), ("conform", "cut.srt", "--offset", "1", "-o", "m.srt")):
        done = run(*command)
        assert done.returncode == 2, what
        assert "error no-cues" in kinds(done.stderr)
    assert [p.name for p in tmp_path.iterdir()] == ["cut.srt"]


def test_a_folder_a_missing_and_a_huge_file(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "cut.srt").write_text(GOOD, encoding="utf-8")
    monkeypatch.setattr("scriptkit.input_bytes.LARGEST_FILE", 50)
    assert "error folder" in kinds(run("proof", "folder").stderr)
    assert "error no-such-file" in kinds(run("proof", "none.srt").stderr)
    assert "error too-large" in kinds(run("proof", "cut.srt").stderr)


def test_far_more_than_any_cut_has_is_told_at_once(run: Run, tmp_path: Path) -> None:
    """What would keep a person waiting for minutes."""
    for path in EXAMPLES.glob("*.yaml"):
        shutil.copy(path, tmp_path)
    line = "[0:01] in goes the butter\n"
    (tmp_path / "days.txt").write_text(line * (LARGEST_TRANSCRIPT // len(line) + 1), encoding="utf-8")
    (tmp_path / "cut.yaml").write_text("cut: x\nsteps:\n" + "  a: 1\n" * (LARGEST_CUT // 7), encoding="utf-8")
    (tmp_path / "log.csv").write_text("step,take\n" + "simmer,1\n" * (MOST_BYTES // 9), encoding="utf-8")
    supper = "harbour-supper.yaml"
    for asked, words in (
        (("coverage", supper, "--transcript", "days.txt"), "more than 3 MB"),
        (("coverage", supper, "--cut", "days.txt"), "more than 3 MB"),
        (("publish", supper, "--cut", "cut.yaml", "-o", "out"), "more than 1 MB"),
        (("coverage", supper, "--log", "log.csv"), "larger than any take log"),
    ):
        done = run(*asked)
        assert done.returncode == 2 and "error too-large" in kinds(done.stderr) and words in done.stderr, asked


@settings(max_examples=60)
@given(
    st.binary(max_size=300)
    | st.lists(st.sampled_from(BAD), min_size=1, max_size=3).map(lambda b: b"\n".join(x[1][:400] for x in b))
)
def test_any_bytes_are_read(raw: bytes) -> None:
    text, told = decode(raw, "f.srt")
    parse_captions(text, "f.srt", told)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("1\n00:00:01.0 --> 0:00:04,5\nStir.\n", "write 00:00:01,000 --> 00:00:04,500:"),
        ("WEBVTT\n\n0:59,25 --> 1:01:02,5\nStir.\n", "write 00:00:59.250 --> 01:01:02.500:"),
        ("1\n00:00:01.0 --> later\nStir.\n", "write its start and end, such as 00:00:01,000 --> 00:00:03,000"),
        ("WEBVTT\n\n00:00:01.0 --> later\nStir.\n", "write its start and end, such as 00:00:01.000 --> 00:00:03.000"),
        ("1\n00:00:01.0 -> \nStir.\n", "write 00:00:01,000 --> 00:00:02,000"),
        ("WEBVTT\n\n00:00:01.000\nStir.\n", "write 00:00:01.000 --> 00:00:02.000"),
        ("1\n00:00:01:500 --> 00:00:03:5\nStir.\n", "write its start and end, such as"),
        ("1\n00:00:01:500 --> 00:00:03:250\nStir.\n", "write 00:00:01,500 --> 00:00:03,250:"),
        ("1\n00: 00: 01, 500 - -> 00: 00: 03, 250\nStir.\n", "write 00:00:01,500 --> 00:00:03,250:"),
        ("1\n00:00:01:12 --> 00:00:03:00\nStir.\n", "write 00:00:01,480 --> 00:00:03,000 at 25 frames a second"),
        ("1\n75:01,500 --> 75:03,250\nStir.\n", "write 01:15:01,500 --> 01:15:03,250:"),
        (
            "1\n00:75:01,500 --> 00:75:03,250\nStir.\n",
            "write 01:15:01,500 --> 01:15:03,250, if that is when it is said",
        ),
    ],
)
def test_the_times_that_are_told_are_those_of_the_line(text: str, hint: str) -> None:
    told = parse_captions(text, "f").repairs
    assert [p.hint.startswith(hint) for p in told] == [True]


CUE = "{}\n00:{}:0{},000 --> 00:{}:0{},500\nStir.\n\n"


def minutes(*written: str) -> str:
    return "".join(CUE.format(n, minute, n, minute, n + 1) for n, minute in enumerate(written, 1))


@pytest.mark.parametrize(
    ("text", "starts", "codes"),
    [
        (minutes("74", "75", "75"), [4_441_000, 4_502_000, 4_503_000], ["odd-time"]),  # all of it counts minutes
        (minutes("58", "59", "61"), [3_481_000, 3_542_000, 3_663_000], ["odd-time"]),
        (minutes("07", "75", "08"), [421_000, 483_000], ["broken-time"]),  # a slip, for 57 or 07: nobody knows
        (minutes("07", "07", "75"), [421_000, 422_000], ["broken-time"]),  # more than an hour of silence
        (minutes("75"), [], ["broken-time"]),
        (minutes("07", "08").replace("02,000", "75,000"), [421_000], ["broken-time"]),  # it would end before it begins
    ],
)
def test_minutes_past_sixty_are_counted_on_only_where_that_is_sure(
    text: str, starts: list[int], codes: list[str]
) -> None:
    read = parse_captions(text, "cut.srt")
    assert [c.start_ms for c in read.cues] == starts
    assert [p.code for p in read.repairs] == codes


@pytest.mark.parametrize("alone", ["00:00:04,000 -->", "00:00:04,000"])
@pytest.mark.parametrize("where", [0, 1, 2])
def test_a_cue_that_has_only_a_start_is_kept_and_told(alone: str, where: int, tmp_path: Path, run: Run) -> None:
    cues = ["00:00:01,000 --> 00:00:03,000\nOne.", "00:00:06,000 --> 00:00:08,000\nThree."]
    cues.insert(where, f"{alone}\nTwo.")
    text = "".join(f"{n}\n{cue}\n\n" for n, cue in enumerate(cues, 1))
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    (tmp_path / "cut.vtt").write_text("WEBVTT\n\n" + text.replace(",", "."), encoding="utf-8")
    for kind in ("srt", "vtt"):
        done = run("proof", f"cut.{kind}", "--fix", f"mended.{kind}")
        assert "error reversed" in kinds(done.stderr) and done.returncode == 1
        mended = (tmp_path / f"mended.{kind}").read_text("utf-8")
        assert all(word in mended for word in ("One.", "Two.", "Three."))
        assert "00:00:04,000 --> 00:00:04,000" in mended.replace(".000", ",000")


def test_a_time_among_the_words_is_no_start() -> None:
    """A timer that is shown, and a figure of its own under a blank line."""
    text = "1\n00:00:01,000 --> 00:00:03,000\nIn the oven:\n00:12:30,000\nand turn it.\n\n2\n00:00:04,000 --> 00:00:06,000\n12:30 ->\nStir.\n"
    read = parse_captions(text, "cut.srt")
    assert [c.text for c in read.cues] == ["In the oven:\n00:12:30,000\nand turn it.", ""]
    assert [p.code for p in read.repairs] == ["broken-time"]  # so that nothing is written without it
