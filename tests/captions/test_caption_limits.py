"""A limit is one entry: its key in a profile, its check with its message, what it leaves room for, and its repair."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import pytest
import srt
from conftest import EXAMPLES, Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.captions import limits, profiles
from scriptkit.captions.limits import LIMITS, CaptionLimit, Cues, Key, can_stand, least_ms, reading_ms
from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing import proof, repair
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.problems import Problem, warning

Run = Callable[..., "subprocess.CompletedProcess[str]"]


def too_many_words(sheet: Sheet) -> Iterator[Problem]:
    if most := sheet.profile.whole("words_a_cue"):
        for cue in sheet.cues:
            if (count := len(cue.text.split())) > most:
                yield warning(sheet.place(cue), "words", f"{count} words, at most {most}", "split the cue")


def few_enough(lines: Sequence[str], profile: Profile) -> bool:
    most = profile.whole("words_a_cue")
    return most is None or len(" ".join(lines).split()) <= most


def split(cues: Cues, sheet: Sheet) -> Cues:
    most = sheet.profile.whole("words_a_cue")
    out: Cues = []
    for cue in cues:
        words = cue.text.split()
        if most is None or len(words) <= most:
            out.append(cue)
            continue
        half = cue.start_ms + (cue.end_ms - cue.start_ms) * most // len(words)
        out.append(replace(cue, end_ms=half, text=" ".join(words[:most])))
        out.append(replace(cue, start_ms=half, text=" ".join(words[most:])))
    return out


WORDS = CaptionLimit(keys=(Key("words_a_cue"),), check=too_many_words, holds=few_enough, mend_text=split)


@pytest.fixture
def one_limit_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """The entry added to the table, as an edit of platform_text.py would."""
    table = (*LIMITS, WORDS)
    for room in (limits, profiles, proof, repair):
        monkeypatch.setattr(room, "LIMITS", table)


@pytest.mark.usefixtures("one_limit_more")
def test_an_entry_is_all_that_a_limit_needs(table: Table, run: Run) -> None:
    table.write("few.yaml", "like: streaming\nwords_a_cue: 5\n")
    table.write("talk.srt", "1\n00:00:01,000 --> 00:00:07,000\nStir in the cream and let it simmer.\n")
    found = run("proof", "talk.srt", "--profile", "few.yaml", "--fix", "mended.srt")
    assert "8 words, at most 5" not in found.stderr
    assert run("proof", "talk.srt", "--profile", "few.yaml").stderr.count("8 words, at most 5") == 1
    mended = list(srt.parse((table.folder / "mended.srt").read_text(encoding="utf-8")))
    assert [cue.content for cue in mended] == ["Stir in the cream and", "let it simmer."]
    run("captions", str(EXAMPLES / "harbour-supper.yaml"), "--profile", "few.yaml", "-o", "few.srt")
    shown = list(srt.parse((table.folder / "few.srt").read_text(encoding="utf-8")))
    assert shown
    assert max(len(cue.content.split()) for cue in shown) <= 5


@pytest.mark.usefixtures("one_limit_more")
@pytest.mark.parametrize(("figure", "told"), [("0", "above zero"), ("2.5", "whole"), ("many", "above zero")])
def test_its_figure_is_held_like_any_other(table: Table, run: Run, figure: str, told: str) -> None:
    table.write("few.yaml", f"like: streaming\nwords_a_cue: {figure}\n")
    table.write("talk.srt", "1\n00:00:01,000 --> 00:00:03,000\nStir it.\n")
    left = run("proof", "talk.srt", "--profile", "few.yaml")
    assert (left.returncode, told in left.stderr) == (2, True)


def test_without_the_entry_the_key_is_unknown(table: Table, run: Run) -> None:
    table.write("few.yaml", "like: streaming\nwords_a_cue: 5\n")
    table.write("talk.srt", "1\n00:00:01,000 --> 00:00:03,000\nStir it.\n")
    assert run("proof", "talk.srt", "--profile", "few.yaml").returncode == 2


def test_a_key_belongs_to_one_limit() -> None:
    keys = [key.name for limit in LIMITS for key in limit.keys]
    assert len(keys) == len(set(keys))
    assert {key for of in profiles.profiles().values() for key in of.limits} <= set(keys)


BARE = Profile(name="bare", source="", limits={"line_length": 42, "lines": 2})


@given(st.text(max_size=200))
def test_a_profile_without_a_limit_asks_nothing(text: str) -> None:
    assert reading_ms(text, BARE) == least_ms(text, BARE) == 0
    assert can_stand(text.splitlines(), BARE)


@given(st.text(max_size=200), st.integers(1, 40), st.integers(1, 400), st.integers(1, 5_000))
def test_a_text_takes_as_long_as_the_slowest_of_its_limits(text: str, speed: int, rate: int, shortest: int) -> None:
    of = BARE.with_limits(characters_a_second=speed, words_a_minute=rate)
    alone = [
        reading_ms(text, BARE.with_limits(**{key: of.limits[key]})) for key in ("characters_a_second", "words_a_minute")
    ]
    assert reading_ms(text, of) == max(alone)
    assert least_ms(text, of.with_limits(shortest_ms=shortest)) == max(*alone, shortest)
