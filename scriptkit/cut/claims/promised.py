"""Figures that are promised before anything is filmed: in `promise:`, in limits and in the narration, held against the interval.

`kept`: the whole interval keeps it. `likely`: the best estimate does, with most of the interval. `in doubt`: it does, on the edge.
`broken`: the best estimate misses it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.cut.claims.macro_words import MacroFigure, macro_figures
from scriptkit.measure.figures import KCAL, PERCENT, figures_in
from scriptkit.nutrition.dish_meal_macros import AllMacros
from scriptkit.nutrition.display_figures import reasons
from scriptkit.nutrition.intervals import BOUNDED
from scriptkit.nutrition.limits import bound_words, limit_words, printed_figures
from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.nutrition.rounding import digits_of, step_of
from scriptkit.problems import Place, Problem, warning
from scriptkit.recipe.dish import Dish, Limit, Meal
from scriptkit.safety.promises import Said, texts_of

KEPT, LIKELY, IN_DOUBT, BROKEN = "kept", "likely", "in doubt", "broken"
VERDICTS = (KEPT, LIKELY, IN_DOUBT, BROKEN)
MOST_OF_IT = 0.5
"""Of the way from the best estimate to the end of its interval: a limit that lies further out is likely kept."""
EXACT_SHARE = 0.1
"""A figure that is promised as it is, is kept where the interval is within so much of it, as a share (common practice, no source)."""
_SENTENCE = re.compile(r"[^.!?;\n]*(?:\.\d[^.!?;\n]*)*[.!?;]?")
_TAKEN_BACK = re.compile(r"\b(?:not|never|no longer|instead of|unlike|used to)\b|n['’]t\b", re.IGNORECASE)
_OF_THE_WHOLE = re.compile(
    r"\b(?:serving|bowl|plate|portion|slice|each|meal|has|have|carbs?|kcal|calories)\b", re.IGNORECASE
)
_PER_100_G = re.compile(r"\b(?:100|hundred|a hundred) ?(?:g|grams?)\b", re.IGNORECASE)
_BATCH = re.compile(r"\b(?:batch|(?:whole|entire) (?:pot|pan|dish|recipe))\b", re.IGNORECASE)
_LIKE = ((re.compile(r"\bbelow\b", re.IGNORECASE), "under"), (re.compile(r"\babove\b", re.IGNORECASE), "over"))


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisedFigure:
    """A promise in its ``text``, of a ``nutrient`` in the unit that ends its name. ``low`` and ``high`` are the interval of what
    is eaten; ``settles``: what would settle most of it, empty where it is kept."""

    text: str
    verdict: str
    place: Place
    nutrient: str
    figure: float
    bound: str
    has: float
    low: float
    high: float
    settles: str

    def as_json(self) -> dict[str, object]:
        """Its text and verdict, where it stands, and the interval it was held against."""
        digits = digits_of(self.nutrient) + 1
        return {
            "text": self.text,
            "verdict": self.verdict,
            "file": self.place.file,
            "line": self.place.line,
            "nutrient": self.nutrient,
            "figure": self.figure,
            "bound": self.bound,
            "has": round(self.has, digits),
            "range": [round(self.low, digits), round(self.high, digits)],
        }


def promised_figures(source: Dish | Meal, macros: AllMacros) -> list[PromisedFigure]:
    """Every figure that the source promises of a serving or the plate, limits first. A figure that is not known is not held."""
    eaten = macros.eaten_of(source)
    limits = source.limits if isinstance(source, Meal) else ()
    found = [one for limit in limits if (one := _of_limit(limit, eaten)) is not None]
    for said in texts_of(source):
        found += _of_text(said, source, macros, eaten)
    return found


def _of_limit(limit: Limit, eaten: Macros) -> PromisedFigure | None:
    if limit.macro not in BOUNDED or eaten.figure(limit.macro) is None:
        return None
    printed = [f for f in printed_figures(eaten, limit.macro) if f is not None]
    figure = max(printed) if limit.bound == "at_most" else min(printed)
    text = f"{bound_words(limit.bound)} {limit_words(limit.macro, limit.figure)}"
    return _held(
        text, limit.place, eaten, limit.macro, limit.figure, "most" if limit.bound == "at_most" else "least", figure
    )


def _of_text(said: Said, source: Dish | Meal, macros: AllMacros, eaten: Macros) -> Iterator[PromisedFigure]:
    steps = source.steps if isinstance(source, Dish) else ()
    if any(said.text == s.reading.sentence for s in steps):
        return  # what is done, and not what it has
    narrated = any(said.place == s.say_place for s in steps)
    for match in _SENTENCE.finditer(said.text):
        sentence = match.group()
        if not any(c.isalnum() for c in sentence) or sentence.rstrip().endswith("?") or _TAKEN_BACK.search(sentence):
            continue
        if narrated and not _OF_THE_WHOLE.search(sentence):
            continue
        of = _meant(sentence, source, macros, eaten)
        for one in _figures(sentence):
            if one.figure.unit != PERCENT and one.macro in BOUNDED and of.figure(one.macro) is not None:
                figure = float(one.figure.low if one.figure.bound == "least" else one.figure.high)
                yield _held(
                    sentence.strip(),
                    said.place,
                    of,
                    one.macro,
                    figure,
                    one.figure.bound,
                    of.at_least(one.macro),
                    _room(one),
                )


def _figures(sentence: str) -> Sequence[MacroFigure]:
    for words, like in _LIKE:
        sentence = words.sub(like, sentence)
    return macro_figures(sentence, figures_in(sentence))


def _meant(sentence: str, source: Dish | Meal, macros: AllMacros, eaten: Macros) -> Macros:
    """What the sentence speaks of: what one person eats, save where it says otherwise."""
    if isinstance(source, Dish) and _PER_100_G.search(sentence):
        return macros.of(source).per_100_g
    if isinstance(source, Dish) and _BATCH.search(sentence):
        return macros.of(source).batch
    return eaten


def _room(one: MacroFigure) -> float:
    """How far a figure that is said as it is may be off: half its last place, of energy in tens five."""
    grain = float(one.figure.grain)
    if one.figure.unit == KCAL and one.figure.low % 10 == 0:
        grain = 10.0
    return grain / 2 + (float(one.figure.low) * 0.05 if one.figure.about else 0.0)


def _held(
    text: str, place: Place, of: Macros, nutrient: str, figure: float, bound: str, has: float, room: float = 0.0
) -> PromisedFigure:
    low, high = of.ranges[nutrient]
    if bound:
        verdict = verdict_of(has, low, high, figure, at_most=bound == "most")
    else:
        verdict = exact_verdict(has, low, high, figure, room + step_of(nutrient) / 2)
    why = "" if verdict == KEPT else "; ".join(reasons(of, nutrient, 1))
    return PromisedFigure(
        text=text, verdict=verdict, place=place, nutrient=nutrient, figure=figure, bound=bound, has=has, low=low, high=high, settles=why,
    )  # fmt: skip


def verdict_of(has: float, low: float, high: float, limit: float, *, at_most: bool) -> str:
    """Whether a limit is kept by a figure within its interval.

    >>> [verdict_of(10, 8, 14, limit, at_most=True) for limit in (14, 12.5, 10.5, 9.9)]
    ['kept', 'likely', 'in doubt', 'broken']
    >>> [verdict_of(30, 26, 33, limit, at_most=False) for limit in (26, 27, 29, 31)]
    ['kept', 'likely', 'in doubt', 'broken']
    """
    if not at_most:
        has, limit, high = -has, -limit, -low
    if has > limit + 1e-9:
        return BROKEN
    if high <= limit + 1e-9:
        return KEPT
    return LIKELY if limit - has >= MOST_OF_IT * (high - has) else IN_DOUBT


def exact_verdict(has: float, low: float, high: float, figure: float, room: float) -> str:
    """Whether a figure that is promised as it is, is what it has."""
    close = max(room, EXACT_SHARE * figure)
    if abs(has - figure) <= room + 1e-9:
        return KEPT if max(high - figure, figure - low) <= close else LIKELY
    return IN_DOUBT if low <= figure <= high else BROKEN


def promise_problems(promised: Sequence[PromisedFigure]) -> list[Problem]:
    """One for each promise that is in doubt or broken; a broken limit is told with the limits."""
    problems = []
    for one in promised:
        digits = digits_of(one.nutrient)
        unit = one.nutrient.rsplit("_", 1)[1]
        has = f"{words_of_macro(one.nutrient)} {one.has:.{digits}f} {unit}, likely {one.low:.{digits}f}–{one.high:.{digits}f}"
        settle = f"; {one.settles} would settle most of it" if one.settles else ""
        is_limit = one.text.startswith(("at most", "at least"))
        if one.verdict == IN_DOUBT:
            hint = f"leave more room{settle}" if settle else "leave more room"
            problems.append(warning(one.place, "promise-in-doubt", f"“{one.text}” is in doubt: {has}", hint))
        elif one.verdict == BROKEN and not is_limit:
            problems.append(
                warning(
                    one.place,
                    "promise-broken",
                    f"“{one.text}” is not so: {has}",
                    "correct the text, or change the recipe or the portion",
                )
            )
    return problems
