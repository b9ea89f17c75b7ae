"""What makes the shoot list an on-set page: its script, and the shots, gates and time code that the script works with."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from scriptkit.measure.timecode import FrameRate
from scriptkit.papers.tables import Json, JsonObject
from scriptkit.problems import printable
from scriptkit.recipe.dish import Dish, Step
from scriptkit.shoot.day.day_graph import StepKey
from scriptkit.shoot.day.gates import Gates, key_of
from scriptkit.shoot.day.shooting_order import CoverageOrder
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, Plan
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from markupsafe import Markup

Thing = TypeVar("Thing")
SCRIPTS = ("on-set-takes.js", "on-set-log.js", "on-set.js")
"""The templates that make the page's script, one after another: what it knows, the log as a file, the page and its taps."""
_OUT_OF_SCRIPT = {c: f"\\u{ord(c):04x}" for c in "<>&\u2028\u2029"}
"""Characters that could end a script element, or a line of JavaScript, are written as JSON's escapes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """The values of the page's script: ``shots_json`` and ``script``, each safe inside its element, and the ``policy`` by
    which a browser runs this script and no other."""

    shots_json: Markup
    script: Markup
    policy: str


def stage_of(plan: Plan, order: CoverageOrder, rate: FrameRate, scripts: Sequence[str]) -> Stage:
    """``scripts`` are the texts of SCRIPTS, which share one scope."""
    from markupsafe import Markup

    script = one_script(scripts).replace("</", "<\\/")
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return Stage(
        shots_json=Markup(in_script(shots_data(plan, order, rate))),
        script=Markup(script),
        policy=(
            "default-src 'none'; font-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
            f"script-src 'sha256-{digest}'"
        ),
    )


def one_script(scripts: Sequence[str]) -> str:
    """The scripts in a scope of their own, strict and light."""
    return "\n".join(["(() => {", '"use strict";', *map(light, scripts), "})();"])


def light(script: str) -> str:
    """The script without its indentation and its lines of comment: a fifth of its bytes. No text in it runs over a line."""
    lines = [line.strip() for line in script.split("\n")]
    text = "\n".join(line for line in lines if line and not line.startswith(("//", "/**")))
    for sign in ("=>", "===", "!==", "&&", "||"):  # which stand in no text
        text = text.replace(f" {sign} ", sign)
    return text


def in_script(data: Json) -> str:
    """JSON that may stand inside a script element."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for character, escape in _OUT_OF_SCRIPT.items():
        text = text.replace(character, escape)
    return text


def shots_data(plan: Plan, order: CoverageOrder, rate: FrameRate) -> JsonObject:
    """What the page's script knows of the list. ``hash`` names its contents: a log is kept under it on the device.

    A shot is [slate, number of its step or -1, number of its dish or -1, names of its additions], in the order of the printed list;
    ``day`` are their places in the order of the day, as [first, how many]. A gate is [place of the first shot of a step, place of an earlier gate of
    which everything is due here too or -1, numbers of the further steps whose additions must be circled before it], in the
    order of the day. ``ends`` are the places of the shots that end the day.
    """
    shots = order.listed
    steps: list[Step] = []
    dishes: list[Dish] = []
    rows: list[list[Json]] = []
    for shot in shots:
        step = -1 if shot.step is None else _number_of(shot.step, steps)
        dish = -1 if shot.dish is None else _number_of(shot.dish, dishes)
        rows.append([shot.slate, step, dish, [printable(a.ingredient.name) for a in shot.additions]])
    place = {shot.number: n for n, shot in enumerate(shots)}
    data: JsonObject = {
        "title": printable(plan.title),
        "file": file_name(plan.title),
        "rate": [rate.exact.numerator, rate.exact.denominator, rate.nominal, rate.dropped],
        "dishes": [printable(d.name) for d in dishes],
        "steps": [printable(s.id) for s in steps],
        "shots": [*rows],
        "day": _runs([place[shot.number] for shot in order.cooked]),
        "gates": _short_gates(
            [(n, {_step(rows[due]) for due in needed}) for n, needed in gates_of(shots, order.cooked)]
        ),
        "ends": [n for n, shot in enumerate(shots) if shot.stage in (CLOSING, MEAL_CLOSING)],
    }
    data["hash"] = hashlib.sha256(in_script(data).encode("utf-8")).hexdigest()[:16]
    return data


def _short_gates(gates: Sequence[tuple[int, set[int]]]) -> list[Json]:
    """Each gate as what it adds to the largest earlier one that it holds: of a long day the whole lists are a tenth of the page."""
    found: list[Json] = []
    for n, (at, steps) in enumerate(gates):
        inside = [m for m in range(n) if gates[m][1] <= steps]
        base = max(inside, key=lambda m: len(gates[m][1]), default=-1)
        found.append([at, base, sorted(steps - (gates[base][1] if base >= 0 else set()))])
    return found


def _runs(places: Sequence[int]) -> list[Json]:
    """Places that follow one another, as [first, how many]."""
    found: list[list[int]] = []
    for place in places:
        if found and place == sum(found[-1]):
            found[-1][1] += 1
        else:
            found.append([place, 1])
    return [*found]


def _step(row: Sequence[Json]) -> int:
    return int(str(row[1]))


def _number_of(thing: Thing, seen: list[Thing]) -> int:
    """Its place in the list, by identity: two steps may read alike. New ones are put at the end."""
    for n in range(len(seen) - 1, -1, -1):
        if seen[n] is thing:
            return n
    seen.append(thing)
    return len(seen) - 1


def gates_of(shots: Sequence[Shot], day: Sequence[Shot] | None = None) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Where the cook must have everything that came before: (place of the step's first shot in ``shots``, places there of the shots
    that must be circled before it). ``day``: in which order they are filmed; left out, as they stand. What is due is gates.py's."""
    gates = Gates(shots)
    place = {shot.number: n for n, shot in enumerate(shots)}
    found: list[tuple[int, tuple[int, ...]]] = []
    gated: set[StepKey] = set()
    for shot in day or shots:
        key = key_of(shot)
        if key is not None and key not in gated:
            gated.add(key)
            if due := gates.due_before(shot):
                found.append((place[shot.number], tuple(sorted({place[s.number] for one in due for s in one.shots}))))
    return tuple(found)


def file_name(title: str) -> str:
    """The title as a file may be named on any system: ``harbour-supper``."""
    return re.sub(r"[^a-z0-9]+", "-", title.casefold()).strip("-")[:60] or "shoot"
