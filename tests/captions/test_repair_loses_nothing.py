"""`proof --fix` counts every word and tag before it writes, and leaves a file its owner, its mode and its links."""

from __future__ import annotations

import os
import stat
import subprocess
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing import repair
from scriptkit.captions.proofing.repair import repaired, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.timed_text.markup import MARKUP, without_markup
from scriptkit.timed_text.reading import ReadCue, parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]
STREAMING = profiles()["streaming"]
WORDS = ["stir", "it", "in", "the", "Crème", "½", "–", "♪", "2 < 3", "salt & pepper", "<i>", "</i>", "<font color=red>", "</font>",
         "<v Cook>", "<00:00:01.500>", "<c>", "</c>", "{\\an8}", "<I>", "&amp;", "&nbsp;", "שלום", "ผัด"]  # fmt: skip
TEXT = st.lists(st.lists(st.sampled_from(WORDS), min_size=1, max_size=5).map(" ".join), min_size=1, max_size=3).map(
    "\n".join
)
CUES = st.lists(st.tuples(st.integers(-4_000, 40_000), st.integers(-500, 5_000), TEXT), min_size=1, max_size=8)


def count(cues: tuple[ReadCue, ...]) -> Counter[str]:
    """Words and tags, counted by hand: what WebVTT writes for a sign is that sign."""
    found: Counter[str] = Counter()
    for cue in cues:
        found.update(MARKUP.findall(cue.text))
        found.update(without_markup(cue.text).replace("&amp;", "&").replace("&lt;", "<").split())
    return found


@settings(max_examples=200)
@given(CUES, st.sampled_from(["srt", "vtt"]))
def test_every_word_and_tag_is_there_afterwards(rows: list[tuple[int, int, str]], kind: str) -> None:
    cues = tuple(ReadCue(a, a + length, text, 5 * n) for n, (a, length, text) in enumerate(rows, 1))
    done = repaired(Sheet(replace(parse_captions("", f"f.{kind}"), kind=kind, cues=cues), STREAMING))
    assert done.wrong == ()
    seen = tuple(c for c in cues if without_markup(c.text).strip())  # a cue of tags alone shows nothing
    if not done.taken_out:
        assert count(done.file.cues) == count(seen)


@settings(max_examples=100)
@given(CUES, st.sampled_from(["srt", "vtt"]))
def test_what_is_written_is_read_with_every_word(rows: list[tuple[int, int, str]], kind: str) -> None:
    head = "WEBVTT\n\n" if kind == "vtt" else ""
    cues = tuple(ReadCue(max(a, 0), max(a, 0) + abs(length), t, 5 * n) for n, (a, length, t) in enumerate(rows, 1))
    written = write_captions(replace(parse_captions(head, f"f.{kind}"), kind=kind, cues=cues))
    done = repaired(Sheet(parse_captions(written, "f"), STREAMING))
    again = parse_captions(write_captions(done.file), "f")
    assert count(again.cues) == count(done.file.cues)


@pytest.mark.parametrize(
    "line",
    [
        "将两汤匙黄油放入锅中然后加入三百克韭葱用小火炒八分钟直到变软再加入奶油",
        "バターを大さじ二杯入れて、それから長ねぎを三百グラム加え、弱火で八分間。",
    ],
)
def test_a_line_without_spaces_is_broken_and_nothing_of_it_is_lost(line: str) -> None:
    cue = ReadCue(0, 6_000, line, 2)
    done = repaired(Sheet(replace(parse_captions("", "f.srt"), cues=(cue,)), STREAMING))
    (mended,) = done.file.cues
    assert done.wrong == () and "\n" in mended.text and mended.text.replace("\n", "") == line
    part = repair.lost_by_repair([cue], [replace(cue, text=mended.text[1:])], Counter(), done.file)
    assert [p.code for p in part] == ["words-lost"]


def test_a_repair_that_loses_a_word_writes_nothing(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the fault would be: here a sort that forgets the last cue."""
    text = "1\n00:00:01,000 --> 00:00:03,000\nStir it in.\n\n2\n00:00:04,000 --> 00:00:04,300\nAdd <i>capers</i>.\n"
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    monkeypatch.setattr(repair, "sort", lambda cues, _: cues[:-1])
    assert "warning" in run("proof", "cut.srt").stderr
    done = run("proof", "cut.srt", "--fix", "cut.srt")
    assert done.returncode == 2 and "“Stir”" in done.stderr
    assert set(kinds(done.stderr)) == {"error words-lost"}  # why nothing was written, and nothing else before it
    assert (tmp_path / "cut.srt").read_text(encoding="utf-8") == text


BROKEN = "1\n00:00:05,000 --> 00:00:07,000\nStir it in.\n\n2\n00:00:01,000 --> 00:00:03,000\nFirst.\n"


@pytest.mark.skipif(os.name == "nt", reason="modes are other there")
def test_in_its_place_a_file_keeps_its_mode_and_a_link_to_it(run: Run, tmp_path: Path) -> None:
    real = tmp_path / "real.srt"
    real.write_text(BROKEN, encoding="utf-8")
    real.chmod(0o640)
    (tmp_path / "link.srt").symlink_to(real)
    assert run("proof", "link.srt", "--fix", "link.srt").returncode == 0
    assert (tmp_path / "link.srt").is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert real.read_text(encoding="utf-8").startswith("1\n00:00:01,000")


@pytest.mark.skipif(os.name == "nt", reason="modes are other there")
def test_a_read_only_file_and_one_of_two_names_are_refused(run: Run, tmp_path: Path) -> None:
    for name in ("locked.srt", "twice.srt"):
        (tmp_path / name).write_text(BROKEN, encoding="utf-8")
    (tmp_path / "locked.srt").chmod(0o444)
    os.link(tmp_path / "twice.srt", tmp_path / "other.srt")
    for name in ("locked.srt", "twice.srt"):
        done = run("proof", name, "--fix", name)
        assert done.returncode == 2 and "error cannot-write" in kinds(done.stderr), name
        assert (tmp_path / name).read_text(encoding="utf-8") == BROKEN


LEGACY = "1\n00:00:05,000 --> 00:00:07,000\nFinish with crème fraîche.\n\n2\n00:00:01,000 --> 00:00:03,000\nFirst.\n"


def test_an_encoding_that_is_not_sure_is_written_only_where_it_is_named(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_bytes(LEGACY.encode("cp1252"))
    for command in (("proof", "cut.srt", "--fix", "out.srt"), ("conform", "cut.srt", "--offset", "1", "-o", "out.srt")):
        done = run(*command)
        assert (
            done.returncode == 2 and "error encoding" in kinds(done.stderr) and "--encoding windows-1252" in done.stderr
        )
        assert not (tmp_path / "out.srt").exists()
        assert run(*command, "--encoding", "windows-1252").returncode == 0
        assert "crème fraîche" in (tmp_path / "out.srt").read_text(encoding="utf-8")
        (tmp_path / "out.srt").unlink()


def test_dialogue_with_words_in_no_cue_is_refused(run: Run, tmp_path: Path) -> None:
    from conftest import EXAMPLES

    (tmp_path / "said.srt").write_text("a word of mine\n\n" + BROKEN, encoding="utf-8")
    source = str(EXAMPLES / "seared-hake.yaml")
    done = run("captions", source, "--dialogue", "said.srt", "-o", "over.srt")
    assert done.returncode == 2 and "error words-lost" in kinds(done.stderr)
    assert not (tmp_path / "over.srt").exists()
