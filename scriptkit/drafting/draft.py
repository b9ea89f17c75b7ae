"""The draft dish file: everything that was found, in the shape of a dish, with `# check:` at every guess."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.drafting.ingredient_lines import DraftIngredient, drafts_of
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.steps import DraftStep, draft_steps
from scriptkit.measure.durations import format_duration
from scriptkit.measure.numbers import NUMBER, NotANumber, split_number
from scriptkit.pantry.lookup import Pantry

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


@dataclass(frozen=True, slots=True)
class DraftFile:
    """``text`` is the file; ``guesses`` counts its `# check:` marks."""

    text: str
    name: str
    ingredients: int
    steps: int
    guesses: int


def draft(found: RawRecipe, *, name: str = "", file: str = "") -> DraftFile:
    """The draft of a found recipe. ``name`` goes before the one it has; ``file`` is where it was found.
    Raises NoRecipe where no line names an ingredient."""
    title = _clean(name or found.name)[:LONGEST_NAME] or "A dish to be named"
    pantry = Pantry()
    drafts = _told_apart(
        [d for line in found.ingredients[:MOST_INGREDIENTS] for d in drafts_of(line, pantry)][:MOST_INGREDIENTS]
    )
    if not drafts:
        raise NoRecipe(
            "no line of its list names an ingredient", "write the ingredients one a line, such as `30 g butter`"
        )
    texts = [t for text in found.steps[:MOST_STEPS] if (t := _clean(text)[:LONGEST_STEP])]
    steps, unnamed = draft_steps(texts, [d.name for d in drafts])
    lines = [*_head(found, title, file), *_ingredients(drafts), *_foods(drafts), *_steps(steps, unnamed)]
    text = "\n".join(lines) + "\n"
    return DraftFile(text, title, len(drafts), len(steps), text.count("# check:"))


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


def _head(found: RawRecipe, title: str, file: str) -> Iterator[str]:
    yield f"# A draft{f' from {_comment(file)}' if file else ''}. What was guessed is marked `# check:`; take each mark away when it is right."
    if found.address or found.author:
        yield f"# Found as: {_comment(' by '.join(part for part in (found.address or found.name, found.author) if part))}. Ask before you publish somebody's words."
    times = [
        (what, ms)
        for what, ms in (("prep", found.prep_ms), ("cooking", found.cook_ms), ("in all", found.total_ms))
        if ms
    ]
    if times:
        yield f"# It says: {', '.join(f'{what} {format_duration(ms)}' for what, ms in times)}."
    if found.energy:
        yield f"# It says of a serving: {_comment(found.energy)}."
    if found.others:
        yield f"# check: {found.others} more recipe{'s' if found.others > 1 else ''} stood in the same file; this is the first."
    yield f"dish: {_value(title)}"
    if promise := _clean(found.promise)[:LONGEST_STEP]:
        yield f"promise: {_value(promise)}"
    servings, told = _servings(found.serves)
    yield f"servings: {servings}" + (f"   # check: {told}" if told else "")
    yield "# cooked_weight: 1.2 kg          the pot on the scale less the empty pot; left out, it is estimated and marked"
    yield ""


def _servings(serves: str) -> tuple[str, str]:
    """The figure, and what is unsure about it."""
    shown = _comment(serves)
    if not serves:
        return "1", "it does not say how many it serves"
    if found := _DOZEN.search(serves):
        return str(int(found.group(1)) * 12), f"it says “{shown}”"
    if found := re.search(NUMBER, serves):
        try:
            value, rest = split_number(found.group())
        except NotANumber:
            return "1", f"it says “{shown}”"
        if 0 < value <= 10_000:
            plain = re.fullmatch(
                r"\W*(?:serves\W*)?\d+(?:\W+(?:servings?|people|persons|portions?))?\W*", serves, re.IGNORECASE
            )
            return f"{float(value):g}", "" if plain and not rest else f"it says “{shown}”"
    word = next((w for w in re.findall(r"[a-z]+", serves.casefold()) if w in _WORDS), "")
    return str(_WORDS.get(word, 1)), f"it says “{shown}”"


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
        if one.checks:
            yield f"  # check: {_comment('; '.join(one.checks))}   [{_comment(one.line)}]"
        bare = len(parts) == 1
        yield f"  {_key(one.name)}: " + (_value(one.amount) if bare else "{" + ", ".join(parts) + "}")


def _foods(drafts: Sequence[DraftIngredient]) -> Iterator[str]:
    """Foods that the pantry lacks, with everything about them unknown."""
    lacking = [d for d in drafts if not d.known]
    if lacking:
        yield ""
        yield "foods:"
    for one in dict.fromkeys(d.food or d.name for d in lacking):
        yield "  # check: copy what its label says: per: 100 g, energy_kcal, fat_g, protein_g, carbohydrate_g, fibre_g; household: {cup: 120 g}"
        yield f"  {_key(one)}: {{basis: us}}"


def _steps(steps: Sequence[DraftStep], unnamed: Sequence[str]) -> Iterator[str]:
    yield ""
    if not steps:
        yield "# check: it gives no method; write the steps"
        yield "steps: []"
        return
    yield "steps:"
    told = False
    for step in steps:
        yield f"  # check: {', '.join(step.guessed)} read from the words"
        if unnamed and not told and set(unnamed) <= {n for n, _ in step.add}:
            told = True
            yield f"  # check: no step names {_comment(', '.join(unnamed))}; put them where they go in"
        yield f"  - id: {step.id}"
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
