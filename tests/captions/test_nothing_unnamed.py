"""What `proof --fix`, `--mend` and `conform` do to words and letters is named, and a file keeps its kind."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from messages import kinds, placed

Run = Callable[..., subprocess.CompletedProcess[str]]
GARBLED = "1\n00:00:01,000 --> 00:00:03,000\nA crÃ¨me, and itâ€™s good.\n"
STRAY = b"1\n00:00:01,000 --> 00:00:03,000\nA cr\xc3\xa8me.\n\n2\n00:00:04,000 --> 00:00:06,000\nThen a caf\xe9.\n"


def test_garbled_letters_are_told_and_mended_on_request_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text(GARBLED, encoding="utf-8")
    done = run("proof", "cut.srt", "--fix", "same.srt")
    assert placed(done.stderr) == ["same.srt:3:1 warning garbled"] * 2 and "write “crème”" in done.stderr
    assert (tmp_path / "same.srt").read_text(encoding="utf-8") == GARBLED
    done = run("proof", "cut.srt", "--fix", "mended.srt", "--mend")
    assert (done.returncode, kinds(done.stderr)) == (0, ["note garbled-mended"] * 2)
    assert "A crème, and it’s good." in (tmp_path / "mended.srt").read_text(encoding="utf-8")


def test_a_stray_byte_is_named_also_once_it_is_written(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_bytes(STRAY)
    assert placed(run("proof", "cut.srt").stderr) == ["cut.srt:7:1 warning stray-byte"]
    done = run("proof", "cut.srt", "--fix", "mended.srt")
    assert placed(done.stderr) == ["cut.srt:7:1 note stray-byte"] and "“café”" in done.stderr
    assert (tmp_path / "mended.srt").read_text(encoding="utf-8").endswith("Then a café.\n")


@pytest.mark.parametrize(
    ("name", "text", "asked", "instead"),
    [
        ("cut.srt", GARBLED, "out.vtt", "out.srt"),
        ("cut.vtt", "WEBVTT\n\n00:01.000 --> 00:03.000\nSalt.\n", "out.srt", "out.vtt"),
        ("cut.vtt", GARBLED, "cut.vtt", "cut.srt"),  # its own name is the wrong one
    ],
)
def test_a_file_is_not_written_under_the_name_of_another_kind(
    run: Run, tmp_path: Path, name: str, text: str, asked: str, instead: str
) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    for command, option in ((("proof", name), "--fix"), (("conform", name, "--offset", "1"), "-o")):
        done = run(*command, option, asked)
        assert done.returncode == 2 and f"fix: write {option} {instead}\n" in done.stderr
        assert [p.name for p in tmp_path.iterdir()] == [name]
        assert run(*command, option, instead).returncode in (0, 1)
        (tmp_path / instead).unlink()
        assert run(*command, option, "out.txt").returncode in (0, 1)  # a name that is no kind's
        (tmp_path / "out.txt").unlink()


def test_a_file_whose_name_is_that_of_another_kind_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.vtt").write_text("1\n00:00:01,000 --> 00:00:03,000\nSalt.\n", encoding="utf-8")
    done = run("proof", "cut.vtt")
    assert kinds(done.stderr) == ["warning kind"] and "fix: name it cut.srt" in done.stderr


ROLLING = """\
WEBVTT
Kind: captions

00:00:00.160 --> 00:00:02.470 align:start position:0%
{}
two<00:00:00.480><c> spoons</c><00:00:00.640><c> of</c><00:00:00.800><c> olive</c><00:00:01.000><c> all</c>

00:00:02.470 --> 00:00:02.480 align:start position:0%
two spoons of olive all
{}

00:00:02.480 --> 00:00:05.110 align:start position:0%
two spoons of olive all
and<00:00:02.800><c> forty</c><00:00:03.040><c> grams</c><00:00:03.280><c> of</c><00:00:03.400><c> papers</c>

00:00:05.110 --> 00:00:05.120 align:start position:0%
and forty grams of papers
{}

00:00:05.120 --> 00:00:08.000 align:start position:0%
and forty grams of papers
then<00:00:05.500><c> wait</c>
""".replace("{}", " ")


def test_words_of_rolling_captions_are_mended_once_and_no_sliver_of_a_cue_stays(run: Run, tmp_path: Path) -> None:
    """A word that is mended in one cue and not in its repeat would be no repeat any more."""
    (tmp_path / "cut.vtt").write_text(ROLLING, encoding="utf-8")
    done = run("proof", "cut.vtt", "--recipe", str(EXAMPLES / "seared-hake.yaml"), "--fix", "mended.vtt", "--mend")
    written = (tmp_path / "mended.vtt").read_text(encoding="utf-8")
    assert written.count(" --> ") == 3 and written.count("capers") == 1
    assert kinds(done.stderr).count("note misheard-mended") == 1
    assert "too-short" not in done.stderr.rpartition("left\n")[2].partition("\n")[2]
