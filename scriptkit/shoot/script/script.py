"""The two-column script: every shot of the planned cut with what is said over it, and how long that takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.unit_system import weight_words
from scriptkit.measure.words import number_words
from scriptkit.nutrition.dish_meal_macros import AllMacros, DishMacros, MealMacros
from scriptkit.nutrition.display_figures import eaten_at_table, printed_plate
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.pantry.names import words_of
from scriptkit.problems import Place
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.film_settings import film_of
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, Plan, Segment, plan_of
from scriptkit.shoot.script.narration import clauses, line_ms, measured_rate, narration_of, sentences, telling_words
from scriptkit.shoot.shots.framing import TO_CAMERA
from scriptkit.shoot.shots.shots import Shot

MACROS = "{macros}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenShot:
    """A shot and the part of the line that begins over it. Times are milliseconds of the cut; ``said_from_ms`` and
    ``said_to_ms`` are equal where nothing begins here."""

    shot: Shot
    text: str
    said_from_ms: int
    said_to_ms: int
    runs_on: bool
    """Whether the line of a shot before is still being said when this one begins."""

    @property
    def sync(self) -> bool:
        """Whether it is said while the shot is taken."""
        return self.shot.sound == "SYNC"

    @property
    def to_camera(self) -> bool:
        """Whether the presenter speaks in the picture."""
        return self.shot.look.kind == TO_CAMERA


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """What is said over one stretch of the cut, and its shots."""

    segment: Segment
    text: str
    spoken_ms: int
    rate: float
    """The presenter's words a minute."""
    rows: tuple[SpokenShot, ...]
    place: Place

    @property
    def over_ms(self) -> int:
        """How much longer the line is than its picture; below 0 where there is room."""
        return self.spoken_ms - self.segment.length_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """``written``: whether the file gives a line to any step."""

    plan: Plan
    passages: tuple[Passage, ...]
    written: bool

    @property
    def spoken_ms(self) -> int:
        """All lines together, with the pauses written in them."""
        return sum(p.spoken_ms for p in self.passages)


def script_of(source: Dish | Meal, plan: Plan, shots: Sequence[Shot], macros: AllMacros) -> Script:
    """A passage for each stretch of the planned cut, in its order. ``plan``, ``shots`` and ``macros`` are the source's."""
    passages = []
    pictures = {
        _whose(s): s.length_ms for s in plan_of(source).segments
    }  # as planned, whatever became of it in a cut or a voice
    for segment in plan.segments:
        film = film_of(source, segment.dish) if segment.dish else source.film
        text, place = _line(
            segment, source, macros, film.reading_rate, pictures.get(_whose(segment), segment.length_ms)
        )
        rate = (
            film.reading_rate
            if segment.spoken_ms is None
            else measured_rate(text, segment.spoken_ms) or film.reading_rate
        )
        here = [s for s in shots if segment.start_ms <= s.start_ms < segment.end_ms]
        passages.append(
            Passage(
                segment=segment,
                text=text,
                spoken_ms=line_ms(text, rate),
                rate=rate,
                rows=_rows(here, text, rate),
                place=place,
            )
        )
    written = any(s.say for dish in plan.dishes for s in dish.steps)
    return Script(plan=plan, passages=tuple(passages), written=written)


def _whose(segment: Segment) -> tuple[str, str]:
    """What is closed."""
    return segment.kind, segment.dish.file if segment.dish is not None else ""


def _line(segment: Segment, source: Dish | Meal, macros: AllMacros, rate: float, picture_ms: int) -> tuple[str, Place]:
    """What is said over the segment, and where the file says so; our own words fit ``picture_ms`` where they can."""
    if segment.step is not None and segment.dish is not None:
        return narration_of(segment.step, segment.dish), segment.step.say_place
    if segment.kind == OPENING:
        return " ".join(source.promise.split()), source.place
    if segment.kind == CLOSING and segment.dish is not None:
        return _goodbye(segment.dish, macros, rate, picture_ms), segment.dish.place
    return (_goodbye(source, macros, rate, picture_ms) if segment.kind == MEAL_CLOSING else ""), source.place


# --- the figures of the card, spoken ----------------------------------------------------------------------------------


def _goodbye(source: Dish | Meal, macros: AllMacros, rate: float, picture_ms: int) -> str:
    """What is said at the end of ``source``, in so much picture; ``macros`` are of all that is filmed. The weight stands on the card, and
    is left out of our own words where they would run on after the picture."""
    text = " ".join(source.goodbye.split())
    if MACROS not in text:
        return text
    said = text.replace(MACROS, _figures_of(source, macros, weighed=True))
    return (
        said if line_ms(said, rate) <= picture_ms else text.replace(MACROS, _figures_of(source, macros, weighed=False))
    )


def _figures_of(source: Dish | Meal, macros: AllMacros, *, weighed: bool) -> str:
    if isinstance(source, Dish):
        return dish_words(macros.of(source), macros.meal, weighed=weighed)
    return "" if macros.meal is None else meal_words(macros.meal, weighed=weighed)


def dish_words(macros: DishMacros, of_meal: MealMacros | None = None, *, weighed: bool = True) -> str:
    """The weight, where ``weighed``, and figures of a serving, or of the portion on the meal's plate, in words, rounded as on its card."""
    word, eaten, estimated = eaten_at_table(macros, of_meal)
    weight = _weight(eaten.weight_g, macros.dish.units, estimated=estimated) if weighed else " has"
    return f"A {word}{weight} {macro_words(print_one(eaten))}."


def meal_words(macros: MealMacros, *, weighed: bool = True) -> str:
    """``The whole plate is about 485 grams:`` and its macros; *about* where nobody weighed a dish once it was cooked."""
    estimated = any(p.dish.cooked_estimated for p, _, _ in macros.portions)
    printed = printed_plate(macros).whole
    weight = _weight(printed.weight_g, macros.meal.units, estimated=estimated) if weighed else " has"
    return f"The whole plate{weight} {macro_words(printed)}."


def _weight(grams: float, units: str, *, estimated: bool) -> str:
    return f" is {'about ' if estimated else ''}{weight_words(grams, units)}:"


_SAID = (
    ("energy_kcal", "kilocalories"),
    ("fat_g", "of fat"),
    ("protein_g", "of protein"),
    ("net_carbs_g", "of net carbs"),
)


def macro_words(figures: Printed) -> str:
    """``two hundred and ten kilocalories, twelve grams of fat, six of protein and nine point one of net carbs``. A lower
    bound is said as one, and a figure of which nothing is known is not said."""
    said, grams = [], False
    for nutrient, of_what in _SAID:
        words = _figure_words(figures, nutrient)
        if words and nutrient != "energy_kcal" and not grams:
            words, grams = f"{words} grams", True
        if words:
            said.append(f"{words} {of_what}")
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)


def _figure_words(figures: Printed, nutrient: str) -> str:
    text = figures.text(nutrient)
    if text == "unknown":
        return ""
    bound = "at least " if text.startswith("≥") else ""
    return bound + number_words(Fraction(text.removeprefix("≥").strip()))


# --- which part of a line belongs to which shot -----------------------------------------------------------------------

_WRONG_PICTURE = 6.0
"""What it costs, in seconds of overrun, to speak of an ingredient over another picture, or beside a piece to camera."""
_TORN = 1.5
"""What it costs to change the picture within a sentence that does not ask for it."""
_MOST_CHOICES = 100_000
"""More of them and the whole line begins over the first shot; no line that can be spoken has so many."""
_LEFT_OVER = 4.0
"""What a second costs that is still spoken when the last picture is over."""


def _rows(shots: Sequence[Shot], text: str, rate: float) -> tuple[SpokenShot, ...]:
    parts = _parts(text)
    chosen = _allot(shots, parts, rate)
    rows: list[SpokenShot] = []
    spoken_to = shots[0].start_ms
    for n, shot in enumerate(shots):
        said = " ".join(part for (part, _), at in zip(parts, chosen, strict=True) if at == n)
        begin = max(shot.start_ms, spoken_to)
        end = begin + line_ms(said, rate)
        runs_on = bool(n) and spoken_to > shot.start_ms
        rows.append(SpokenShot(shot=shot, text=said, said_from_ms=begin, said_to_ms=end, runs_on=runs_on))
        spoken_to = max(spoken_to, end)
    return tuple(rows)


def _parts(text: str) -> list[tuple[str, bool]]:
    """Clauses in order, each with whether it begins a sentence."""
    return [(part, not n) for sentence in sentences(text) for n, part in enumerate(clauses(sentence))]


def _allot(shots: Sequence[Shot], parts: Sequence[tuple[str, bool]], rate: float) -> list[int]:
    """For each part of the line the shot over which it is said, in order: an ingredient is spoken of while it is seen, and
    as little as can be runs past its picture."""
    if len(parts) * len(shots) ** 2 > _MOST_CHOICES:
        return [0 for _ in parts]
    telling = telling_words([a for s in shots for a in s.additions])
    named: list[set[str]] = []
    for shot in shots:
        named.append(set().union(*telling[: len(shot.additions)]))
        telling = telling[len(shot.additions) :]
    of_step = set().union(*named)
    to_camera = [s.look.kind == TO_CAMERA for s in shots]
    talks = any(to_camera)
    last_ms = shots[-1].end_ms
    # shot of the last part → (cost so far, when it has been said, the choices)
    best: dict[int, tuple[float, int, tuple[int, ...]]] = {0: (0.0, shots[0].start_ms, ())}
    for part, begins in parts:
        about = set(words_of(part)) & of_step
        length = line_ms(part, rate)
        reached: dict[int, tuple[float, int, tuple[int, ...]]] = {}
        for before, (cost, spoken_to, choices) in best.items():
            for at in range(before, len(shots)):
                end = max(spoken_to, shots[at].start_ms) + length
                over = max(0, end - shots[at].end_ms) / 1000
                over += _LEFT_OVER * (end - last_ms) / 1000 if end > last_ms else 0.0
                wrong = _WRONG_PICTURE if about and not about & named[at] else 0.0
                wrong = wrong or _WRONG_PICTURE * (talks and not to_camera[at] and not about)
                torn = _TORN if choices and at != before and not begins and not about else 0.0
                found = (cost + over + wrong + torn, end, (*choices, at))
                if at not in reached or found < reached[at]:
                    reached[at] = found
        best = reached
    return list(min(best.values())[2])


def spoken_stretches(passage: Passage) -> list[tuple[int, int]]:
    """When something is said, from–to, in milliseconds of the cut, where the sentences of a shot are set as far apart as
    its picture allows."""
    stretches = []
    for row in passage.rows:
        parts = [line_ms(sentence, passage.rate) for sentence in sentences(row.text)]
        apart = max(0, row.shot.end_ms - row.said_to_ms) // len(parts) if parts else 0
        now = row.said_from_ms
        for length in parts:
            stretches.append((now, now + length))
            now += length + apart
    return stretches
