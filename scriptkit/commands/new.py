"""``scriptkit new``: start a dish file."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error

_RESERVED = re.compile(r"^(?:con|prn|aux|nul|com\d|lpt\d)$", re.IGNORECASE)

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


def run(name: str, output: str) -> int:
    """Write a dish file that `check` finds nothing wrong with. Raises CannotDo where the file exists already."""
    path = Path(output or f"{slug(name)}.yaml")
    text = _START.format(name=_quoted(name))
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise CannotDo(
            [error(Place(str(path)), "exists", "this file exists already", "choose another with -o")]
        ) from None
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(str(path)), "cannot-write", f"the file cannot be written: {why}", "choose another with -o")]
        ) from None
    print(f"wrote {path}")
    return 0


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
