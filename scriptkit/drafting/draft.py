"""The draft dish file: everything that was found, in the shape of a dish, with `unsure:` at every guess."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.drafting.food_matching import SURE, folded, usual_matcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.languages import language_of
from scriptkit.drafting.linked_recipe import MOST_LINES
from scriptkit.drafting.method_foods import foods_in_method
from scriptkit.drafting.pints import pints_of
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.step_mentions import Named
from scriptkit.drafting.steps import DraftStep, draft_steps, stages_of, steps_of, with_foods_of_the_method
from scriptkit.drafting.yield_check import batch_kcal, servings_of_range, yield_in_doubt
from scriptkit.measure.durations import format_duration
from scriptkit.measure.numbers import NUMBER, NotANumber, split_number
from scriptkit.pantry.lookup import Pantry
from scriptkit.recipe.tray import NO_METHOD, is_tray

MOST_INGREDIENTS, MOST_STEPS = 200, 300
"""As many as a dish file takes."""
LONGEST_NAME, LONGEST_STEP = 120, 4000

_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 -]*[A-Za-z0-9]|[A-Za-z]")
_YAML_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})
_DOZEN = re.compile(r"\b(\d+)\s+dozen\b", re.IGNORECASE)
_WORDS = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "twelve": 12,
}
_NUMBER_WORD = re.compile(rf"\b(?:{'|'.join(_WORDS)})\b", re.IGNORECASE)
_AS_A_MAIN = re.compile(
    r"\b(\d+)\b(?:\s+\w+)?\s+(?:as|for) (?:an? )?(?:main|lunch|supper|dinner|meal)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class DraftFile:
    """``text`` is the file. ``guesses`` counts what must be confirmed (`unsure:`): ingredients, servings, and what no step names, which is all of it where
    there is no method."""

    text: str
    name: str
    ingredients: int
    steps: int
    guesses: int
    remarks: tuple[str, ...] = ()
    """What a person should know of the source: left out, in another language, one of several."""


def draft(found: RawRecipe, *, name: str = "", file: str = "") -> DraftFile:
    """The draft of a found recipe. ``name`` goes before the one it has; ``file`` is where it was found.
    Raises NoRecipe where no line names an ingredient."""
    title = _clean(name or found.name)[:LONGEST_NAME] or "A dish to be named"
    language = language_of([*found.ingredients[:MOST_INGREDIENTS], *found.steps[:MOST_STEPS]])
    reader = LineReader(usual_matcher(), language, pints_of([*found.ingredients, *found.steps]))
    read = reader.read_all(found.ingredients[:MOST_INGREDIENTS])
    drafts = [d for _, of_line in read for d in of_line][:MOST_INGREDIENTS]
    dropped = [line for line, of_line in read if not of_line and any(c.isdigit() for c in line)]
    if not drafts:
        raise NoRecipe(
            "no line of its list names an ingredient", "write the ingredients one a line, such as `30 g butter`"
        )
    texts = steps_of([t for text in found.steps[:MOST_STEPS] if (t := _clean(text)[:LONGEST_STEP])])
    named = [_named(d, reader.pantry) for d in drafts]
    cooks = [stage == "cook" for stage in stages_of(texts)]
    only_there = (
        [] if language else list(foods_in_method(texts, cooks, named, reader))[: MOST_INGREDIENTS - len(drafts)]
    )
    drafts = _told_apart([*drafts, *(d for _, d in only_there)])
    named = [_named(d, reader.pantry) for d in drafts]
    listed, added = named[: len(named) - len(only_there)], drafts[len(named) - len(only_there) :]
    steps, _ = draft_steps(texts, listed)
    steps = with_foods_of_the_method(steps, [(n, d.name) for (n, _), d in zip(only_there, added, strict=True)])
    servings = _servings_of(found, title, drafts, reader.pantry)
    lines = [*_head(found, title, file, servings), *_ingredients(drafts), *_foods(drafts), *_steps(steps)]
    text = "\n".join(lines) + "\n"
    trays = sum(is_tray(s.id) for s in steps)
    guesses = sum(d.to_confirm for d in drafts) + (servings.sure < 1) + trays
    return DraftFile(text, title, len(drafts), len(steps) - trays, guesses, tuple(_remarks(found, language, dropped)))


def _remarks(found: RawRecipe, language: str, dropped: Sequence[str]) -> Iterator[str]:
    if dropped:
        yield f"left out, as no food: {_comment('; '.join(dropped[:20]))}"
    if found.others:
        yield f"the file also has {_comment('; '.join(found.others[:20]))}: `--recipe NAME` drafts another"
    if language:
        yield f"it is in {language}: numbers and units are read, its foods are unknown; name them in English under `food:`, or copy their labels"
    for what, count, most in (
        ("ingredients", len(found.ingredients), MOST_INGREDIENTS),
        ("steps", len(found.steps), MOST_STEPS),
    ):
        if count > most:
            more = " or more" if count == MOST_LINES else ""
            yield f"it has {count}{more} lines of {what}, and a dish file takes {most}: the rest are left out"


def _named(one: DraftIngredient, pantry: Pantry) -> Named:
    food = pantry.known(one.food or one.name) if one.known else None
    if food is None:
        return Named(one.name, "", one.amount)
    return Named(one.name, food.category, one.amount, food.synonyms if one.food_sure >= SURE else ())


def _told_apart(drafts: Sequence[DraftIngredient]) -> list[DraftIngredient]:
    """Names are the file's keys: the second of a name is numbered, and says its food itself."""
    seen: dict[str, int] = {}
    out = []
    for one in drafts:
        name = _clean(one.name)[:100] or "ingredient"
        key = name.replace("_", " ").casefold()
        seen[key] = seen.get(key, 0) + 1
        food = one.food or (name if seen[key] > 1 else "")
        out.append(replace(one, name=name if seen[key] == 1 else f"{name} {seen[key]}", food=food))
    return out


@dataclass(frozen=True, slots=True)
class _Servings:
    """``count`` as the file has it, how ``sure`` it is, 0 to 1, and what it was ``read_from``."""

    count: str
    sure: float
    read_from: str


def _servings_of(found: RawRecipe, title: str, drafts: Sequence[DraftIngredient], pantry: Pantry) -> _Servings:
    """What the source says; a guess too where its own energy of a serving cannot be that of its lines."""
    count, sure = _servings(found.serves, title)
    said = _clean(found.serves)[:200] or "no word of how many it serves"
    batch = batch_kcal(drafts, pantry)
    if (fitting := servings_of_range(found.serves, batch, dict(found.nutrition))) is not None:
        return _Servings(str(fitting), 1.0, said)
    doubt = "" if sure < 1 else yield_in_doubt(batch, float(count), dict(found.nutrition))
    return _Servings(count, 0.5, f"{said}; {doubt}") if doubt else _Servings(count, sure, said)


def _head(found: RawRecipe, title: str, file: str, servings: _Servings) -> Iterator[str]:
    yield f"# A draft{f' from {_comment(file)}' if file else ''}. Where a guess must be confirmed it has `unsure:`, and counts as unknown until you delete that."
    if found.address or found.author:
        yield f"# Found as: {_comment(' by '.join(part for part in (found.address or found.name, found.author) if part))}. Ask before you publish somebody's words."
    times = [
        (what, ms)
        for what, ms in (("prep", found.prep_ms), ("cooking", found.cook_ms), ("in all", found.total_ms))
        if ms
    ]
    if times:
        yield f"# It says: {', '.join(f'{what} {format_duration(ms)}' for what, ms in times)}."
    if found.energy and not found.nutrition:
        yield f"# It says of a serving: {_comment(found.energy)}."
    if found.others:
        names = _comment("; ".join(found.others[:20]))
        yield f"# Also in the same file: {names}. `new --from FILE --recipe NAME` drafts another."
    yield f"dish: {_value(title)}"
    if promise := _clean(found.promise)[:LONGEST_STEP]:
        yield f"promise: {_value(promise)}"
    yield f"servings: {servings.count}"
    if servings.sure < 1:
        yield f"unsure: {{servings: {servings.sure:g}, read_from: {_value(servings.read_from)}}}"
    if found.nutrition:
        printed = ", ".join(f"{name}: {figure:g}" for name, figure in ((n, round(f, 1)) for n, f in found.nutrition))
        yield f"as_published: {{{printed}}}   # of a serving, as its source prints it"
    yield "# cooked_weight: 1.2 kg          the pot on the scale less the empty pot; left out, it is estimated and marked"
    yield ""


_OF_A_SERVING = re.compile(
    r"\W*(?:serves|feeds|makes|yields?|servings?|portions?|recipe makes|(?:(?:is )?enough (?:here )?|sufficient )?for)?\W*(?:about|approx(?:imately|\.)?)?\W*\d+\W*(?:people|persons?|adults?|servings?|portions?|serves|plates|portionen|personen|personnes|parts|raciones|personas|porzioni|persone|porções|pessoas|porties|portioner|personer|"
    r"(?:[\w'-]+ ){0,3}?(?:slices?|pieces?|cookies?|biscuits?|bars?|squares?|brownies|muffins?|cupcakes?|pancakes?|waffles?|crepes?|scones?|rolls?|buns?|balls?|bites?|truffles?|"
    r"tacos?|burgers?|patties|sandwiches|wraps?|skewers?|fritters?|meatballs?|doughnuts?|donuts?|tarts?|bowls?|glasses|drinks?|cocktails?|popsicles|tartlets|wedges|wings?|"
    r"dumplings|enchiladas|burritos|quesadillas|toasts?|smoothies?|jars of overnight oats|empanadas|croquettes|eclairs|macarons|blondies|latkes|cakes? pops))?"
    r"(?:\W*\([^)]*\)|\W*as an? (?:[\w-]+ ){0,2}(?:side(?: dish)?|main(?: course)?|starter|appeti[sz]er|snack|lunch|supper|meal|dinner|first course)|\W+(?:very )?(?:generously|hungry(?: people)?|amply|comfortably|greedily|easily|well))?\W*",
    re.IGNORECASE,
)
"""A yield that counts what one person eats: as many servings as it says."""


_COUNTED = re.compile(
    r"\W*(?:serves|makes|yields?)?\W*(?:about|approx(?:imately|\.)?)?\W*(?P<count>\d+)\s+(?:[\w'-]+\s+){0,3}?(?P<what>[^\W\d]+)\W*(?:(?:approximately|about|or)\b.*)?",
    re.IGNORECASE,
)
_SHARED = frozenset({
    "loaf", "cake", "pie", "pizza", "quiche", "tart", "jar", "cup", "quart", "pint", "batch", "pan", "tin", "tray", "dish", "lb", "pound", "ounce", "oz",
    "gram", "kg", "g", "ml", "litre", "liter", "gallon", "dozen", "tablespoon", "teaspoon", "tbsp", "tsp", "roast", "chicken", "turkey", "ham", "log",
    "ring", "bundt", "casserole", "layer", "bottle", "pot", "bowl", "recipe",
})  # fmt: skip
"""What a yield may count that several people share."""


def _one_each(serves: str, title: str) -> bool:
    """*12 croissants* of a dish that is called croissants: one is a serving."""
    found = _COUNTED.fullmatch(serves)
    what = folded(found["what"]) if found else []
    return bool(what) and what[0] in folded(title) and what[0] not in _SHARED


def _servings(serves: str, title: str) -> tuple[str, float]:
    """The figure, and how sure it is, 0 to 1."""
    if not serves:
        return "1", 0.0
    serves = _NUMBER_WORD.sub(lambda word: str(_WORDS[word.group().casefold()]), serves)
    if found := _AS_A_MAIN.search(serves):
        return found[1], 1.0
    if found := _DOZEN.search(serves):
        return str(int(found.group(1)) * 12), 0.8
    if found := re.search(NUMBER, serves):
        try:
            value, _ = split_number(found.group())
        except NotANumber:
            return "1", 0.0
        if 0 < value <= 10_000:
            return f"{float(value):g}", 1.0 if _OF_A_SERVING.fullmatch(serves) or _one_each(serves, title) else 0.4
    return "1", 0.0


def _ingredients(drafts: Sequence[DraftIngredient]) -> Iterator[str]:
    yield "ingredients:"
    for one in drafts:
        parts = [f"amount: {_value(one.amount)}"]
        parts += [
            f"{key}: {_value(text)}"
            for key, text in (
                ("food", _clean(one.food)),
                ("prep", _clean(one.prep)),
                ("measured_as", _clean(one.measured_as)),
            )
            if text
        ]
        if one.with_bones:
            parts.append("bought: whole")
        if one.optional:
            parts.append("optional: true")
        if one.between:
            parts.append(f"between: [{', '.join(map(_value, one.between))}]")
        if one.to_confirm:
            parts.append(f"unsure: {{{', '.join(_doubt(one))}}}")
        shown = _value(one.amount) if len(parts) == 1 else "{" + ", ".join(parts) + "}"
        yield f"  {_key(one.name)}: {shown}" + (f"   # {_comment('; '.join(one.remarks))}" if one.remarks else "")


def _doubt(one: DraftIngredient) -> Iterator[str]:
    """What of it is a guess, the words it was read from, and what else may be meant."""
    if one.food_sure < SURE:
        yield f"food: {one.food_sure:g}"
    if one.amount_sure < 1:
        yield f"amount: {one.amount_sure:g}"
    why = f"; {one.why_unsure}" if one.why_unsure else ""
    yield f"read_from: {_value(_clean(one.line)[:400] + why)}"
    if one.food_sure < SURE and one.candidates:
        yield f"candidates: [{', '.join(map(_value, one.candidates))}]"


def _foods(drafts: Sequence[DraftIngredient]) -> Iterator[str]:
    """Foods that the pantry lacks, with everything about them unknown."""
    lacking = [d for d in drafts if not d.known]
    if not lacking:
        return
    yield ""
    yield "foods:   # copy what the labels say: per: 100 g, energy_kcal, fat_g, protein_g, carbohydrate_g, fibre_g, allergens, household: {cup: 120 g}"
    for one in dict.fromkeys(d.food or d.name for d in lacking):
        yield f"  {_key(one)}: {{basis: us}}"


def _steps(steps: Sequence[DraftStep]) -> Iterator[str]:
    yield ""
    yield "steps:"
    for step in steps:
        yield f"  - id: {step.id}"
        if is_tray(step.id):
            why = f", read_from: {_value(NO_METHOD)}" if all(is_tray(s.id) for s in steps) else ""
            yield f"    unsure: {{do: 0{why}}}   # put them under `add:` where they go in, and delete this step"
        yield f"    stage: {step.stage}"
        yield f"    do: {_value(step.do)}"
        if step.uses:
            yield f"    uses: [{', '.join(map(_value, step.uses))}]"
        if step.add:
            yield f"    add: {{{', '.join(f'{_key(n)}: {share}' for n, share in step.add)}}}"
        for key, text in (("vessel", step.vessel), ("heat", step.heat), ("core", step.core), ("wait", step.wait)):
            if text:
                yield f"    {key}: {_value(text)}"


def _clean(text: str) -> str:
    """One line of what can be seen."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _comment(text: str) -> str:
    return _clean(text)[:300]


def _key(name: str) -> str:
    return _value(name)


def _value(text: str) -> str:
    """As a YAML scalar: plain where that is safe, else in double quotes."""
    if _PLAIN.fullmatch(text) and text.casefold() not in _YAML_WORDS:
        return text
    return text if re.fullmatch(r"\d+(?: [a-z]+)?", text) else json.dumps(text, ensure_ascii=False)
