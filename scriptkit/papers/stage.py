"""The stage page: what stands by the stove. Its script, and the shots, waits, gates and time code that the script works with."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from scriptkit.measure.durations import format_duration
from scriptkit.measure.timecode import FrameRate
from scriptkit.measure.unit_system import in_scale
from scriptkit.papers.ovens import cautions_at, switch_on, take_out
from scriptkit.papers.shoot_list import short_cautions
from scriptkit.papers.tables import Json, JsonObject
from scriptkit.problems import printable
from scriptkit.publish.chapter_names import step_name
from scriptkit.publish.wait_names import wait_name
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.recipe.evaporation import is_liquid
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.day_graph import StepKey
from scriptkit.shoot.day.gates import Gates, key_of
from scriptkit.shoot.day.oven_outs import OvenOut
from scriptkit.shoot.day.shooting_order import CoverageOrder
from scriptkit.shoot.day.step_lengths import wait_ms
from scriptkit.shoot.day.to_the_boil import boil_wait_ms
from scriptkit.shoot.log.take_log import title_key
from scriptkit.shoot.mise_en_place import KEPT, PreHeat, grams_text, household_text
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, Plan
from scriptkit.shoot.script.script import Script
from scriptkit.shoot.shots.framing import SIZES, poured, prep_words
from scriptkit.shoot.shots.shots import Shot
from scriptkit.shoot.shots.waits import in_the_pan

if TYPE_CHECKING:
    from markupsafe import Markup

Thing = TypeVar("Thing")
SCRIPTS = (
    "stage-log.js",
    "stage-csv.js",
    "stage-keep.js",
    "stage-view.js",
    "stage-timers.js",
    "stage-send.js",
    "stage-sheets.js",
    "stage.js",
)
"""The templates that make the page's script, one after another: the list and the events, the log as a file, how the device keeps
it, what is shown, the timers, what is sent where the page is served, the sheets, and the taps."""
_OUT_OF_SCRIPT = {c: f"\\u{ord(c):04x}" for c in "<>&\u2028\u2029"}
"""Characters that could end a script element, or a line of JavaScript, are written as JSON's escapes."""
_COMES_TO = frozenset({"simmer", "boil", "poach", "braise"})
TO_THE_BOIL = "To the boil (an estimate)"
"""What the timer of a pot is called that comes to the boil, where nobody gives the time."""
_SOUNDS = {"SYNC": "To camera", "VO": "Voice-over, recorded later", "MOS": "No sound"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """The values of stage.html: ``shots_json`` and ``script``, each safe inside its element, and the ``policy`` by
    which a browser runs this script and no other."""

    shots_json: Markup
    script: Markup
    policy: str


def stage_of(data: JsonObject, scripts: Sequence[str], *, served: bool = False) -> Stage:
    """``scripts`` are the texts of SCRIPTS, which share one scope. ``served``: the page may ask the machine that it comes from, and
    nobody else; else it asks the network for nothing."""
    from markupsafe import Markup

    script = one_script(scripts).replace("</", "<\\/")
    connect = "connect-src 'self'; " if served else ""
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return Stage(
        shots_json=Markup(in_script(data | {"served": True} if served else data)),
        script=Markup(script),
        policy=(
            "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'; "
            f"{connect}script-src 'sha256-{digest}'"
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


# --- what the script knows ------------------------------------------------------------------------------------------------


def stage_data(
    plan: Plan,
    order: CoverageOrder,
    script: Script,
    cautions: Sequence[Caution],
    rate: FrameRate,
    preheats: Sequence[PreHeat] = (),
    outs: Sequence[OvenOut] = (),
) -> JsonObject:
    """What the page's script knows. ``key`` names the dish or meal: a log is kept under it on the device, and outlives a new edition
    of the list; ``edition`` names the contents.

    A shot is [slate, number of its step or -1, number of its dish or -1, additions, picture, framing, sound, line, marks, the food that
    its additions go on], in the order
    of the printed list; an addition is [name, amount, as a cook measures it, grams as planned or null, how it was
    made ready]; a dish is [name, short name, the bones or shells that are weighed with it]; ``picture`` is empty where
    additions are shown; ``marks`` are 1: cannot be shot again, 2: its step's wait begins when it is taken, 4: the line of an earlier
    shot runs on over it, 8: what goes in is poured. Empty cells at the end are left out. A step is [id, name, vessel, heat, milliseconds of its wait, the
    wait in words, short cautions, what the wait is called]. ``day`` are the places of the shots in the order of the day, as [first, how many]. A gate is [place of the first shot of a
    step, place of an earlier gate of which everything is due here too or -1, numbers of the further steps whose additions must
    be circled before it], in the order of the day. ``ovens`` are what is to be done to an oven, as [place in the day at which it is
    due, last place at which it is shown, words]. ``ends`` are the places of the shots that end the day.
    """
    shots = order.listed
    steps: list[Step] = []
    dishes: list[Dish] = list(dishes_of_the_day(plan.meal or plan.dishes[0]))
    owners: list[Dish] = []
    numbers: list[tuple[int, int]] = []
    lines = {row.shot.number: row for passage in script.passages for row in passage.rows}
    begins = set(_begin_waits(order.cooked))
    rows: list[list[Json]] = []
    for shot in shots:
        step = -1 if shot.step is None else _number_of(shot.step, steps)
        dish = -1 if shot.dish is None else _number_of(shot.dish, dishes)
        numbers.append((step, dish))
        if len(owners) < len(steps) and shot.dish is not None:
            owners.append(shot.dish)
        line = lines.get(shot.number)
        marks = int(shot.irreversible) + 2 * (shot.number in begins) + 4 * bool(line and line.runs_on)
        marks += 8 * bool(shot.additions and all(poured(a) for a in shot.additions))
        cells: list[Json] = [
            shot.slate, step, dish, [_addition(a) for a in shot.additions], "" if shot.additions else printable(shot.what),
            printable(_framing(shot)), _SOUNDS.get(shot.sound, shot.sound), printable(line.text) if line else "", marks, printable(shot.onto),
        ]  # fmt: skip
        while not cells[-1]:
            cells.pop()
        rows.append(cells)
    place = {shot.number: n for n, shot in enumerate(shots)}
    told = {id(c) for one in outs for c in cautions_at(one, cautions)}
    at_steps = [c for c in cautions if id(c) not in told]
    data: JsonObject = {
        "title": printable(plan.title),
        "file": file_name(plan.title),
        "key": title_key(plan.title),
        "rate": [rate.exact.numerator, rate.exact.denominator, rate.nominal, rate.dropped],
        "dishes": [_dish_cells(d) for d in dishes],
        "steps": [_step_cells(step, dish, at_steps) for step, dish in zip(steps, owners, strict=True)],
        "shots": [*rows],
        "day": _runs([place[shot.number] for shot in order.cooked]),
        "gates": _short_gates(
            [(n, {numbers[due][0] for due in needed}) for n, needed in gates_of(shots, order.cooked)]
        ),
        "ovens": [*_ovens(preheats, order), *_outs(outs, order, cautions)],
        "ends": [n for n, shot in enumerate(shots) if shot.stage in (CLOSING, MEAL_CLOSING)],
    }
    data["edition"] = hashlib.sha256(in_script(data).encode("utf-8")).hexdigest()[:16]
    return data


def _dish_cells(dish: Dish) -> list[Json]:
    """Its name, its short name and, where there are any, what is weighed with it and not eaten."""
    on = " and ".join(dict.fromkeys(i.with_it for i in dish.ingredients if i.with_it))
    return [printable(dish.name), printable(dish.short or dish.name), *([on] if on else [])]


def _addition(addition: Addition) -> list[Json]:
    grams = None if addition.scale_g is None else round(addition.scale_g, 1)
    cells: list[Json] = [
        printable(addition.ingredient.short_name), grams_text(addition), printable(household_text(addition)), grams,
        printable(prep_words(addition)),
    ]  # fmt: skip
    return cells if cells[-1] else cells[:-1]


def _step_cells(step: Step, dish: Dish, cautions: Sequence[Caution]) -> list[Json]:
    boils = 0 if wait_ms(step) else boil_wait_ms(step)
    wait = wait_ms(step) or boils
    words = f"{'about ' if boils else ''}{format_duration(wait)}" if wait else ""
    named = TO_THE_BOIL if boils else wait_name(step, dish) if wait else ""
    cells: list[Json] = [
        printable(step.id), printable(step_name(step, dish)), printable(step.reading.written_vessel), printable(in_scale(step.reading.heat.shown, step.units)),
        wait, words, [printable(line) for line in short_cautions(step, cautions)],
        printable(named),
    ]  # fmt: skip
    while not cells[-1]:
        cells.pop()
    return cells


def _framing(shot: Shot) -> str:
    """``overhead``, ``texture test, extreme close-up, three-quarter, slow push-in``: what the camera does, in words."""
    look = shot.look
    size = SIZES.get(look.size, look.size) if look.seen_from and look.size != "OH" else ""
    angle = look.angle if look.seen_from else ""
    parts = (look.kind, size, angle, "" if look.move == "static" else look.move)
    return ", ".join(dict.fromkeys(part for part in parts if part))


def _ovens(preheats: Sequence[PreHeat], order: CoverageOrder) -> Iterator[Json]:
    """Each oven at the last shot that begins before it is due, for whoever waits there, and at the one after it."""
    for one in (p for p in preheats if p.turn != KEPT):
        begins = next((n for n, shot in enumerate(order.cooked) if shot.step is one.step), None)
        if begins is None:
            continue
        slate, before = order.cooked[begins].slate, order.cooked[: begins + 1]
        due = max(begins - (one.lead_ms > 0), 0)
        if one.on_min is not None and one.lead_ms:
            starts = [(n, order.start_min.get(shot.number, one.on_min + 1)) for n, shot in enumerate(before)]
            due = max((n for n, start in starts if start <= one.on_min), default=0)
        then = f"the dish goes in, at {slate}" if one.when_in else slate if one.lead_ms else f"{slate} begins"
        when = f"{format_duration(one.lead_ms)} before {then}" if one.lead_ms else f"when {then}"
        yield [due, min(due + 1, begins), printable(switch_on(one, when).removesuffix("."))]


def _outs(outs: Sequence[OvenOut], order: CoverageOrder, cautions: Sequence[Caution]) -> Iterator[Json]:
    """What comes out of an oven, at the first shot that is filmed then or later: that it is done, or what comes next."""
    for one in outs:
        after = (n for n, s in enumerate(order.cooked) if order.start_min.get(s.number, -1.0) >= one.at_min)
        due = next(after, len(order.cooked) - 1)
        lines = [take_out(one).removesuffix("."), *(line for c in cautions_at(one, cautions) for line in c.overlay)]
        yield [due, min(due + 1, len(order.cooked) - 1), printable(". ".join(lines))]


def _begin_waits(day: Sequence[Shot]) -> Iterator[int]:
    """The numbers of the shots with which a step's wait begins: the last that shows an addition of it go in or what is done, before it is over, else
    its first. On the hob it begins when all is in the pan, as what is done there is filmed while it cooks; what must come to a simmer first,
    with a liquid that goes in, begins with the shot that shows it simmer."""
    of_step: dict[StepKey, list[Shot]] = {}
    for shot in day:
        key = key_of(shot)
        if key is not None and shot.step is not None and (wait_ms(shot.step) or boil_wait_ms(shot.step)):
            of_step.setdefault(key, []).append(shot)
    for shots in of_step.values():
        last = [s for s in shots if not s.when_over and (s.additions or _begins_as_done(s))]
        yield (last[-1] if last else shots[0]).number


def _begins_as_done(shot: Shot) -> bool:
    """Whether the wait begins with what is done there: not on the hob, where it cooks already, but for what must come to a simmer first;
    and a pot is on its way to the boil from its last addition on."""
    if shot.step is None or not shot.act or not wait_ms(shot.step):
        return False
    return not _in_the_pan(shot) or _comes_to_it(shot)


def _comes_to_it(shot: Shot) -> bool:
    """Whether it simmers or boils only a while after its last addition: a liquid goes in there."""
    return (
        shot.step is not None
        and shot.step.reading.method in _COMES_TO
        and any(is_liquid(a.ingredient) for a in shot.step.additions)
    )


def _in_the_pan(shot: Shot) -> bool:
    return shot.step is not None and shot.dish is not None and in_the_pan(shot.step, shot.dish)


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
    return re.sub(r"[^a-z0-9]+", "-", re.sub(r"['’](?=s\b)", "", title.casefold())).strip("-")[:60] or "shoot"
