"""``scriptkit new``: start a dish file."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error

_RESERVED = re.compile(r"^(?:con|prn|aux|nul|com\d|lpt\d)$", re.IGNORECASE)

LARGEST_PAGE = 20_000_000
"""Bytes of a saved page; its pictures lie beside it."""

_START = """\
dish: {name}
promise: What the viewer will have at the end, in a sentence.
servings: 4
# cooked_weight: 1.2 kg          the pot on the scale less the empty pot; left out, it is estimated and marked
# serving: 300 g                 left out: the batch divided by the servings

ingredients:
  leek:   {{amount: 300 g, prep: "sliced, 5 mm"}}
  butter: {{amount: 2 tbsp, food: "butter, unsalted"}}
  salt:   to taste

steps:
  - id: slice-leek
    stage: prep
    do: Slice the leek and rinse it.
    uses: leek
    hands: 4 min
    screen: 6 s
  - id: soften-leek
    stage: cook
    do: Soften the leek in the butter without colour.
    add: {{butter: all, leek: all}}
    vessel: wide pan
    heat: medium
    hands: 1 min
    wait: 8 min
    screen: 18 s
    say: "{{butter}} first, then the leek. Eight minutes, soft, and no colour."
  - id: season
    stage: cook
    do: Season and plate.
    add: {{salt: to taste}}
    hands: 1 min
    screen: 8 s
    say: Taste it before you salt it.
"""


def run(name: str | None, output: str, found_in: str = "") -> int:
    """Write a dish file that `check` finds nothing wrong with, or a draft of the recipe in ``found_in``. Raises CannotDo where
    the file exists already, and where there is neither a name nor a recipe."""
    if found_in:
        return _draft(name or "", output, found_in)
    if name is None:
        raise CannotDo(
            [error(Place("NAME"), "option", "the dish has no name", "write one, or a recipe with --from FILE")]
        )
    path = Path(output or f"{slug(name)}.yaml")
    _write_new(path, _START.format(name=_quoted(name)))
    print(f"wrote {path}")
    return 0


def _draft(name: str, output: str, found_in: str) -> int:
    """1 where something of the draft cannot be read as it stands, which is told; 0 where only the guesses must be confirmed."""
    from scriptkit.commands.printing import exit_code, print_problems
    from scriptkit.drafting.draft import draft
    from scriptkit.drafting.found import NoRecipe
    from scriptkit.drafting.source import recipe_of
    from scriptkit.recipe.reader import read_source

    raw = _bytes(found_in)
    try:
        made = draft(recipe_of(raw, found_in), name=name, file=Path(found_in).name)
    except NoRecipe as wrong:
        raise CannotDo([error(Place(found_in), "no-recipe", str(wrong), wrong.hint)]) from None
    path = Path(output or f"{slug(made.name)}.yaml")
    _write_new(path, made.text)
    reading = read_source(str(path))
    print_problems(reading.problems, reading.texts)
    guessed = f"{made.guesses} guesses to confirm, marked `# check:`" if made.guesses else "nothing had to be guessed"
    print(f"wrote {path}: {made.ingredients} ingredients, {made.steps} steps; {guessed}")
    return exit_code(reading.problems)


def _bytes(path: str) -> bytes:
    try:
        with Path(path).open("rb") as file:
            raw = file.read(LARGEST_PAGE + 1)
    except (OSError, ValueError) as wrong:
        why = getattr(wrong, "strerror", None) or str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the recipe cannot be read: {why}", "check --from")]
        ) from None
    if len(raw) > LARGEST_PAGE:
        raise CannotDo([error(Place(path), "too-large", "more than 20 MB", "check which file this is")])
    return raw


def _write_new(path: Path, text: str) -> None:
    """Whole, or not at all; never over another file."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            try:
                file.write(text)
            except BaseException:
                path.unlink(missing_ok=True)
                raise
    except FileExistsError:
        raise CannotDo(
            [error(Place(str(path)), "exists", "this file exists already", "choose another with -o")]
        ) from None
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(str(path)), "cannot-write", f"the file cannot be written: {why}", "choose another with -o")]
        ) from None


def slug(name: str) -> str:
    """A file name that every system takes: lower case letters, figures and hyphens."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    words = re.findall(r"[a-z0-9]+", "".join(c for c in plain if not unicodedata.combining(c)))
    made = "-".join(words)[:60].strip("-") or "dish"
    return f"dish-{made}" if _RESERVED.match(made) else made


def _quoted(name: str) -> str:
    """The name as a YAML value."""
    import json

    clean = " ".join("".join(c if c.isprintable() else " " for c in name).split()) or "A new dish"
    return json.dumps(clean[:120], ensure_ascii=False)
