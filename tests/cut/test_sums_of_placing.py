"""The quick sums of placing against the plain ones that say what they mean."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.placing.evidence import Query
from scriptkit.cut.placing.place_steps import about, likeliest
from scriptkit.cut.placing.placement_warnings import Telling
from scriptkit.cut.placing.speech import Speech, around, speech_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import spoken

PLACES = st.lists(st.integers(0, 30), unique=True, max_size=12).map(sorted)


@settings(max_examples=60)
@given(PLACES, st.integers(-4, 3), st.integers(0, 5))
def test_around_places_each_stretch_is_once(places: list[int], first: int, more: int) -> None:
    last = first + more
    plain = sorted({b for p in places for b in range(p + first, p + last + 1) if 0 <= b < 31})
    assert around(places, first, last, 31) == plain


@settings(max_examples=60)
@given(st.lists(st.integers(0, 8).map(lambda x: x / 8), min_size=1, max_size=14), st.integers(0, 20))
def test_the_likeliest_stretch_is_the_first_of_the_best(share: list[float], reach: int) -> None:
    sums = [sum(share[max(0, t - reach) : t + reach + 1]) for t in range(len(share))]
    assert about(share, reach) == sums
    assert likeliest(share, reach) == max(range(len(share)), key=lambda t: (sums[t], share[t]))


@settings(max_examples=40)
@given(PLACES, PLACES, PLACES)
def test_what_is_said_about_a_moment_is_the_same_as_in_the_whole_row(a: list[int], b: list[int], c: list[int]) -> None:
    said = {word: at for word, at in {"a": a, "b": b, "c": c}.items() if at}
    speech = Speech(bin_ms=2000.0, bins=31, words=9, said=said, done={}, moods=[[0.0]] * 31)
    queries = [Query(terms=of, acts=(), lines=(), planned=0.5) for of in (("a", "b", "c"), ("c", "d"))]
    telling = Telling(queries, speech)
    for n in range(2):
        for t in range(31):
            assert telling.share(n, t * 2000 + 500) == pytest.approx(telling.at(n).get(t, (0.0, 0))[0], abs=1e-12)
    assert telling.share(0, 62_000) == 0  # after the last stretch nothing is said


def test_a_word_is_heard_where_it_is_said_of_this_film_alone() -> None:
    texts = ("Here is a loaf that I baked this morning.", "Now slice the loaf.")
    lines = tuple(SpokenLine(n * 4000, n * 4000 + 4000, text, n + 1) for n, text in enumerate(texts))
    found = speech_of(Transcript(file="cut.srt", lines=lines, problems=()), frozenset(), 1)
    assert found.words == 11  # all that are said count for the talk
    assert all(places and places == sorted(set(places)) for places in (*found.said.values(), *found.done.values()))
    assert found.said["bread"] == [3]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("In go the leeks - all of them", "In go the leeks - all of them"),
        ("- In go the leeks", "In go the leeks"),
        (" >> In go  the leeks", "In go the leeks"),
        ("In go the leeks &amp; *sizzling* salt", "In go the leeks & salt"),
        ("{\\an8}In go the leeks", "In go the leeks"),
        ("In go\u00a0the leeks\x07", "In go the leeks"),
    ],
)
def test_plain_lines_and_marked_ones_are_read_alike(text: str, words: str) -> None:
    assert spoken(text) == words
