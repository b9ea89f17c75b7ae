"""Steps and what goes in at them: ``all``, ``half``, ``rest`` and plain amounts become shares and grams."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction

from scriptkit.english.step_reading import StepReading
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.measure.temperatures import NotATemperature, parse_temperature
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate
from scriptkit.problems import Place, Problem, error, nearest
from scriptkit.recipe.dish import Addition, Ingredient, Step
from scriptkit.recipe.doubt import read_step_doubt
from scriptkit.recipe.each import of_all, without_each
from scriptkit.recipe.formcheck import UNREAD
from scriptkit.recipe.forms import IngredientForm
from scriptkit.recipe.step_forms import ShotForm, StepForm
from scriptkit.recipe.takeovers import REST, SHARES, read_left_behind, read_takeovers
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.written_shots import Mention, WrittenShot
from scriptkit.recipe.yamltree import Path

TO_TASTE = ("to taste", "taste")
UNREAD_SCREEN_MS = 60_001
"""Stands in for a screen time that could not be read: long enough that nothing is found too short for it, and a figure that
nobody writes, so that nothing is found too long either."""
HOTTEST_CORE_C = 105.0
"""Inside a food there is water, which boils; fat and sugar on top of it (common sense, no source)."""
HOTTEST_OVEN_C = 350.0
"""Of a kitchen oven (common practice, no source)."""
_OVEN = re.compile(r"\d+(?:\.\d+)?\s*°?\s*[CF]\b", re.IGNORECASE)
_IRREVERSIBLE_METHODS = ("sear", "blend", "deep-fry", "grill")


def read_steps(
    bench: FieldParser,
    forms: Sequence[StepForm],
    ingredients: Mapping[str, Ingredient],
    servings: float = 1.0,
    listed: Mapping[str, IngredientForm] | None = None,
) -> list[Step]:
    """The steps in the file's order; ids left out become step-1, step-2 …; a repeated id is a problem. ``listed``: the ingredients as they
    are written, some of them for each of the ``servings``."""
    each = {key for key, one in (listed or {}).items() if without_each(one.amount)[1]}
    counter = _Additions(bench, ingredients, servings, each)
    steps: list[Step] = []
    ids: dict[str, int] = {}
    for index, form in enumerate(forms):
        name = form.id or f"step-{index + 1}"
        if name in ids:
            bench.problems.append(
                error(
                    bench.tree.place("steps", index, "id"),
                    "same-id",
                    f"step {ids[name]} is called “{name}” too",
                    "give each step its own id",
                )
            )
        ids.setdefault(name, index + 1)
        steps.append(_step(bench, counter, form, index, name))
    bench.problems += [problem for index, step in enumerate(steps) for problem in _waits_for(bench, step, index, ids)]
    return steps


def _waits_for(bench: FieldParser, step: Step, index: int, ids: Mapping[str, int]) -> Iterator[Problem]:
    for n, name in enumerate(step.after):
        path = (
            ("steps", index, "after", n)
            if ("steps", index, "after", n) in bench.tree.values
            else ("steps", index, "after")
        )
        if name == step.id:
            yield error(bench.tree.place(*path), "circle", f"“{name}” waits for itself", "name the step before it")
        elif name not in ids:
            meant = nearest(name, ids, most=1)
            hint = f"did you mean “{meant[0]}”?" if meant else "name a step by its id"
            yield error(bench.tree.place(*path), "no-such-step", f"there is no step called “{name}”", hint)


def _step(bench: FieldParser, counter: _Additions, form: StepForm, index: int, name: str) -> Step:
    at: Path = ("steps", index)
    uses_places = [
        bench.tree.place(*at, "uses", n) if (*at, "uses", n) in bench.tree.values else bench.tree.place(*at, "uses")
        for n in range(len(form.uses))
    ]
    adds = [(key, words, _add_place(bench, at, key, n)) for n, (key, words) in enumerate(form.add.items())]
    mentions = [Mention(key=key, where="uses", place=place) for key, place in zip(form.uses, uses_places, strict=True)]
    mentions += [Mention(key=key, where="add", place=place) for key, _, place in adds]
    additions = tuple(a for key, words, place in adds if (a := counter.take(key, words, place, at)) is not None)
    core_c = _core_c(bench, form, at)
    reading = StepReading(
        sentence=form.do,
        cooks=form.stage == "cook",
        written_method=form.method or "",
        written_vessel=form.vessel,
        written_heat=form.heat,
        tools=tuple(form.tools),
        core_c=core_c,
    )
    irreversible = form.irreversible
    if not form.shots and (*at, "shots") in bench.tree.values and not _unread(bench, (*at, "shots")):
        message = f"step {index + 1} ({name}) has an empty list of shots, so nothing of it is filmed"
        place = bench.tree.place(*at, "shots")
        bench.problems.append(error(place, "no-shot", message, "leave `shots:` out for the usual ones, or write one"))
    if irreversible is None:
        irreversible = form.stage == "cook" and reading.method in _IRREVERSIBLE_METHODS
    return Step(
        id=name,
        number=index + 1,
        stage=form.stage,
        do=form.do,
        vessel=form.vessel,
        heat=form.heat,
        tools=tuple(form.tools),
        uses=tuple(counter.ingredients[key] for key in form.uses if key in counter.ingredients),
        additions=additions,
        mentions=tuple(mentions),
        reading=reading,
        core_c=core_c,
        hands_ms=bench.duration(form.hands, *at, "hands"),
        wait_ms=bench.duration(form.wait, *at, "wait"),
        wait_at_most_ms=bench.duration(form.wait_at_most, *at, "wait_at_most"),
        keeps_ms=bench.duration(form.keeps, *at, "keeps"),
        takes=read_takeovers(bench, getattr(form, "from"), (*at, "from")),
        left_behind=read_left_behind(bench, form.left_behind, (*at, "left_behind")),
        after=tuple(form.after),
        screen_ms=_screen_ms(bench, form, at),
        sound=form.sound,
        say=form.say,
        shots=tuple(_shot(bench, one, (*at, "shots", n)) for n, one in enumerate(form.shots)),
        swap_out=form.swap_out,
        irreversible=irreversible,
        place=bench.tree.place(*at),
        say_place=bench.tree.place(*at, "say"),
        chapter=form.chapter,
        juices=form.juices or "",
        unfilmed=_unfilmed(bench, form, name, at),
        doubt=read_step_doubt(bench, at, form.unsure, name),
    )


def _core_c(bench: FieldParser, form: StepForm, at: Path) -> float | None:
    """The core temperature; None, with an error, where nothing can have it. The oven's is checked on the way."""
    if "oven" in form.heat.casefold() and (oven := _OVEN.search(form.heat)):
        try:
            oven_c = parse_temperature(oven.group())
        except NotATemperature:
            oven_c = 0.0
        if oven_c > HOTTEST_OVEN_C:
            bench.problems.append(
                error(bench.tree.place(*at, "heat"), "temperature", f"“{oven.group()}” is hotter than a kitchen oven gets ({HOTTEST_OVEN_C:.0f} °C)", "check the figure and the scale")
            )  # fmt: skip
    core_c = bench.temperature(form.core, *at, "core")
    if core_c is not None and core_c > HOTTEST_CORE_C:
        hint = "check the scale; the heat of the pan or oven stands under `heat:`"
        bench.problems.append(
            error(
                bench.tree.place(*at, "core"),
                "temperature",
                f"“{form.core}” is hotter than food gets inside ({HOTTEST_CORE_C:.0f} °C)",
                hint,
            )
        )
        return None
    return core_c


def _unfilmed(bench: FieldParser, form: StepForm, step: str, at: Path) -> tuple[str, ...]:
    """The keys of what was added off camera; a name that the step does not add is a problem."""
    known = {key.replace("_", " ").casefold(): key for key in form.add}
    found = []
    for n, name in enumerate(form.unfilmed):
        key = known.get(name.replace("_", " ").casefold())
        if key is not None:
            found.append(key)
        elif not _unread(bench, (*at, "add")):
            path = (*at, "unfilmed", n) if (*at, "unfilmed", n) in bench.tree.values else (*at, "unfilmed")
            meant = nearest(name, form.add, most=1)
            hint = f"did you mean “{meant[0]}”?" if meant else "name what the step has under `add:`"
            message = f"nothing called “{name}” goes in at step {step}, so it cannot have been missed there"
            bench.problems.append(error(bench.tree.place(*path), "no-such-addition", message, hint))
    return tuple(dict.fromkeys(found))


def _unread(bench: FieldParser, path: Path) -> bool:
    """Whether something at or under the path could not be understood, which has been told."""
    return any(unread[: len(path)] == path for unread in bench.tree.unread)


def _shot(bench: FieldParser, form: ShotForm, at: Path) -> WrittenShot:
    return WrittenShot(
        of=tuple(form.of),
        picture=form.picture,
        kind=form.kind,
        size=form.size,
        angle=form.angle,
        move=form.move,
        sound=form.sound,
        screen_ms=bench.duration(form.screen, *at, "screen"),
        irreversible=form.irreversible,
        place=bench.tree.place(*at),
    )


def _screen_ms(bench: FieldParser, form: StepForm, at: Path) -> int | None:
    told = bench.duration(form.screen, *at, "screen")
    unread = form.screen is not None or (*at, "screen") in bench.tree.unread
    return UNREAD_SCREEN_MS if told is None and unread else told


def _add_place(bench: FieldParser, at: Path, key: str, n: int) -> Place:
    for path in ((*at, "add", key), (*at, "add", n)):
        if path in bench.tree.keys or path in bench.tree.values:
            return bench.tree.place(*path, key=True)
    return bench.tree.place(*at, "add")


class _Additions:
    """Numbers the additions and keeps how much of each ingredient is left, so that ``rest`` is known."""

    def __init__(
        self, bench: FieldParser, ingredients: Mapping[str, Ingredient], servings: float, each: Collection[str]
    ) -> None:
        self.servings = servings
        self.each = frozenset(each)
        self.bench = bench
        self.ingredients = ingredients
        self.number = 0
        self.taken: dict[str, Fraction] = defaultdict(Fraction)

    def take(self, key: str, words: str, place: Place, at: Path) -> Addition | None:
        """The addition, or None for an ingredient that is not listed (the ledger tells that)."""
        ingredient = self.ingredients.get(key)
        if ingredient is None:
            return None
        self.number += 1
        written, is_each = without_each(words)
        share, amount = self._share(ingredient, written, (*at, "add", key), each=is_each)
        is_each = is_each or key in self.each
        if share is not None:
            self.taken[key] += share
        grams = None if share is None or ingredient.grams is None else float(share) * ingredient.grams
        return Addition(
            number=self.number, ingredient=ingredient, words=words, share=share, amount=amount, grams=grams, place=place,
            each=amount.times(1 / Fraction(str(self.servings))) if is_each and amount is not None else None,
        )  # fmt: skip

    def _share(
        self, ingredient: Ingredient, words: str, path: Path, *, each: bool
    ) -> tuple[Fraction | None, Amount | None]:
        """``each``: the words tell what one serving takes."""
        whole = ingredient.amount
        told = words.casefold()
        if words == UNREAD or (whole is None and not ingredient.to_taste):
            return None, None
        if whole is None or told in TO_TASTE:
            self._both_to_taste(ingredient, words, path)
            return None, None
        if told in REST:
            share = max(Fraction(0), 1 - self.taken[ingredient.key])
        elif told in SHARES:
            share = SHARES[told]
        else:
            return self._part(ingredient, whole, words, path, each=each)
        return share, whole.times(share)

    def _both_to_taste(self, ingredient: Ingredient, words: str, path: Path) -> None:
        """An amount that stands on one side only would be left out of the macros in silence."""
        told = words.casefold()
        if ingredient.amount is None and told not in (*TO_TASTE, *REST, *SHARES):
            message = f"{ingredient.name} is listed `to taste`, and {words} of it goes in here"
            hint = "list its amount, or write `to taste` here too"
        elif ingredient.amount is not None:
            message = f"{ingredient.name} is listed with {ingredient.amount}, and goes in to taste here"
            hint = "write `all`, `half`, `rest` or an amount here, or list it `to taste`"
        else:
            return
        self.bench.problems.append(error(self.bench.tree.place(*path), "to-taste", message, hint))

    def _part(
        self, ingredient: Ingredient, whole: Amount, words: str, path: Path, *, each: bool
    ) -> tuple[Fraction | None, Amount | None]:
        """A plain amount as a share of the whole: by unit where both have the same kind, else by weight."""
        inside = (*path, "each")
        amount = self.bench.amount(words, *(inside if inside in self.bench.tree.values else path))
        if amount is None:
            return None, None
        amount = of_all(amount, self.servings) if each else amount
        trimmed = ingredient.as_bought_g is not None and ingredient.as_bought_g != ingredient.grams
        as_written = whole.kind is not Kind.MASS or not trimmed or bool(ingredient.with_it)
        if amount.unit == whole.unit and as_written:
            return amount.value / whole.value, amount
        if amount.kind is whole.kind is Kind.VOLUME:
            return amount.exactly("millilitre") / whole.exactly("millilitre"), amount
        if ingredient.grams is None:
            return None, amount
        try:
            grams = weigh_or_estimate(ingredient.food, amount, ingredient.state, self.bench.cups).grams
            grams *= ingredient.eaten_share if amount.kind is Kind.MASS else 1.0  # a scale shows the bones too
        except CannotWeigh as wrong:
            code = "which-weight" if wrong.candidates else "no-weight"
            self.bench.problems.append(error(self.bench.tree.place(*path), code, str(wrong), wrong.hint))
            return None, amount
        return Fraction(grams / ingredient.grams).limit_denominator(10_000), amount
