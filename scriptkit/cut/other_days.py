"""Which stretches of a talk are of another day, or of another cook: nothing in them is held against this dish."""

from __future__ import annotations

import bisect
import functools
from collections.abc import Iterable
from dataclasses import dataclass

from scriptkit.cut.transcript.running_text import sentence_pauses, talk_of
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.english.talk_tokens import talk_tokens
from scriptkit.english.today import as_of_today, other_days
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal

_OVERNIGHT_MS = 6 * 3_600_000
"""What waits so long is begun the day before, or may be (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OtherDays:
    """The stretches in order, by the characters of the talk's text and by the moments at which they are said."""

    places: tuple[tuple[int, int], ...]
    moments: tuple[tuple[int, int], ...]

    def at(self, place: int) -> bool:
        """Whether the character is in one of them."""
        return _within(self.places, place)

    def at_ms(self, ms: int) -> bool:
        """Whether the moment of the cut is in one of them."""
        return _within(self.moments, ms)


def _within(stretches: tuple[tuple[int, int], ...], at: int) -> bool:
    n = bisect.bisect_right(stretches, at, key=lambda one: one[0]) - 1
    return n >= 0 and at <= stretches[n][1]


def begun_the_day_before(dishes: Iterable[Dish]) -> bool:
    """Whether something of a dish waits overnight, so that *yesterday* may be said of it."""
    steps = [s for dish in dishes for s in dish.steps]
    return any(
        max(s.wait_ms or 0, s.wait_at_most_ms or 0) >= _OVERNIGHT_MS or "overnight" in s.reading.words for s in steps
    )


def other_days_in(source: Dish | Meal, transcript: Transcript) -> OtherDays:
    """What is told of other days in the talk."""
    talk = talk_of(transcript)
    places = _places(talk.text, tuple(sentence_pauses(talk)), begun_the_day_before(dishes_of_the_day(source)))
    return OtherDays(places, tuple((talk.ms_at(start), talk.ms_at(end)) for start, end in places))


@functools.lru_cache(maxsize=2)
def _places(text: str, pauses: tuple[int, ...], begun_before: bool) -> tuple[tuple[int, int], ...]:
    """Where in the text; of the last two talks it is kept, for several ask."""
    tokens = talk_tokens(text, (), pauses)
    texts = [t.text for t in tokens]
    found = other_days(as_of_today(texts) if begun_before else texts)
    return tuple((tokens[first].start, tokens[last].end) for first, last in found)
