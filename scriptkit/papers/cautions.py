"""The cautions as papers print them: each text once, with the steps that it applies to; a mark of one word at each of those."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.recipe.dish import Dish, Step
from scriptkit.safety.rule_matching import Caution
from scriptkit.safety.rules import Rule

_WORDS = {
    "hot-blending-jug": "Scald", "hot-blending-immersion": "Scald", "boiling-jam": "Scald", "boiling-over-steam": "Scald",
    "deep-frying": "Fire", "searing": "Hot fat", "hot-fat": "Hot fat", "hot-pan": "Hot pan", "smoke-alarm": "Smoke",
    "caramel": "Burn", "pressure-cooking": "Pressure", "mandoline": "Blade", "knives": "Knife", "flambe": "Fire",
    "washing-poultry": "Raw", "cross-contamination": "Raw", "marinade": "Raw", "chilling": "Fridge", "standing-out": "Fridge",
    "leftovers": "Fridge", "leftovers-cold": "Fridge", "thawing": "Fridge", "stand-ins": "Fridge", "jars": "Jars",
    "oil-too-full": "Fire", "water-on-hot-fat": "Fire", "wet-into-hot-fat": "Hot fat", "hot-fat-carried": "Hot fat",
    "spirit-near-flame": "Fire", "open-steam": "Steam", "pressure-too-full": "Pressure", "hot-in-processor": "Scald",
    "shaken-hot": "Scald", "superheated-water": "Scald", "egg-in-microwave": "Scald", "glass-shock": "Glass", "hot-glass-on-cold": "Glass",
    "oven-hot-handle": "Hot handle", "carbon-monoxide": "Gas", "smoking-indoors": "Smoke", "blowtorch": "Flame",
    "chilli-fumes": "Fumes", "chilli-hands": "Gloves", "grater": "Blade", "dry-ice": "Cold burn", "liquid-nitrogen": "Cold burn",
    "lye": "Caustic", "lamp-over-steam": "Lamps", "slow-cooling": "Fridge", "low-acid-jars": "Jars", "raw-on-ready": "Raw",
    "garlic-in-oil": "Fridge", "oil-infusion-out": "Fridge", "choking": "Choking",
    "tripod-and-cables": "Cables", "mains-lights": "Lamps", "reheating": "Temperature", "stuffing": "Temperature",
}  # fmt: skip
"""A word that a rule's mark says, by the rule's id."""


_SAYS_IT_TOO = {
    "hot-fat": ("searing", "hot-pan", "deep-frying"),
    "hot-pan": ("searing", "deep-frying"),
    "smoke-alarm": ("searing", "hot-pan", "deep-frying"),
    "knives": ("grater",),
    "boiling-over-steam": ("open-steam",),
}
"""A rule → those whose text says the same and more: where a dish of the meal is told one of them, its steps join that text."""
_TOGETHER = (
    ("cook-whole-cut", "cook-ground-meat", "cook-poultry", "cook-fish", "cook-shellfish", "cook-egg", "cook-casserole", "reheat-ham", "minutes-a-side"),
    ("stand-ins", "tripod-and-cables", "mains-lights", "lamp-over-steam"),
    ("honey-infants", "alcohol", "caffeine", "polyols", "xylitol-and-dogs", "mercury-note", "liver-dose"),
    ("knives", "grater", "mandoline", "chilli-hands"),
)  # fmt: skip
"""Rules about one thing (how hot inside, the camera beside the hob, for whom it is not, blades and fingers) whose texts stand in one
caution, so that a dinner of three dishes has fewer of them than are read."""
DEFERS = "local-code"
"""The rule that defers to local codes."""


def mark_word(rule: Rule) -> str:
    """One word (a *hot pan* is one thing) for the hazard: of a rule that is not listed, by what it is about; else *Care*."""
    if rule.id in _WORDS:
        return _WORDS[rule.id]
    if rule.id.startswith("raw-"):
        return "Raw"
    return "Temperature" if rule.measured else "Care"


@dataclass(frozen=True, slots=True)
class PrintedCaution:
    """``where``: the dishes and steps that it applies to, empty where it holds for the whole. ``source``: what is published and
    was read; empty where it is common practice, or from memory. ``word``: its mark's."""

    where: str
    text: str
    source: str
    word: str = "Care"


def printed_cautions(cautions: Sequence[Caution]) -> tuple[PrintedCaution, ...]:
    """Each text once, with the steps that it applies to; of a meal, what holds for some of its dishes names them. What another says too
    joins it, and what is about one thing stands together, each part with its own steps. What holds for the whole comes last, and last
    of all the line that defers."""
    dishes = {c.dish.short for c in cautions}
    ids = {c.rule.id for c in cautions if c.printed and c.answer is None}
    texts = {c.rule.id: (c.printed, c.rule.published_source) for c in cautions if c.printed and c.answer is None}
    steps: dict[tuple[str, str], dict[str, dict[int, None]]] = {}
    rule_of: dict[tuple[str, str], Rule] = {}
    by_id = {c.rule.id: c.rule for c in cautions}
    for caution in (c for c in cautions if c.printed):
        stronger = next((one for one in _SAYS_IT_TOO.get(caution.rule.id, ()) if one in ids), None)
        if stronger is not None and caution.answer is None:
            key, rule = texts[stronger], by_id[stronger]
        else:
            key, rule = (caution.printed, caution.rule.published_source), caution.rule
        rule_of.setdefault(key, rule)
        of_dish = steps.setdefault(key, {}).setdefault(caution.dish.short, {})
        if caution.step is not None:
            of_dish[caution.step.number] = None
    groups: dict[object, list[PrintedCaution]] = {}
    for key, by_dish in sorted(steps.items(), key=lambda one: rule_of[one[0]].id == DEFERS):
        rule = rule_of[key]
        about = next((one for one in _TOGETHER if rule.id in one), key)
        groups.setdefault(about, []).append(PrintedCaution(_where(by_dish, dishes), *key, mark_word(rule)))
    found = [_in_one(parts) for parts in groups.values()]
    return (*(p for p in found if p.where), *(p for p in found if not p.where))


def _in_one(parts: Sequence[PrintedCaution]) -> PrintedCaution:
    """One caution of several: what holds for the whole first, each other part after its dishes and steps."""
    first, *more = sorted(parts, key=lambda p: p.where != "")
    text, where = first.text, first.where
    for part in more:
        text += f" {part.text}" if part.where == where else f" {part.where[:1].upper()}{part.where[1:]}: {part.text}"
        where = part.where
    sources = dict.fromkeys(p.source for p in (first, *more) if p.source)
    return PrintedCaution(first.where, text, "; ".join(sources), first.word)


def deferring_line(cautions: Sequence[Caution]) -> str:
    """The line that defers to local codes, which stands on every page; empty where there are no cautions."""
    printed = printed_cautions(cautions)
    return printed[-1].text if printed else ""


def marks_at(cautions: Iterable[Caution], step: Step | None) -> tuple[str, ...]:
    """The words of the cautions that are printed for a step, each once."""
    if step is None:
        return ()
    return tuple(dict.fromkeys(mark_word(c.rule) for c in cautions if c.step is step and c.printed))


_GOES_IN = frozenset({"Hot fat", "Fire", "Burn", "Scald", "Cold burn", "Caustic"})
"""What whoever tips in the bowl must know, whatever is in it. How long a step stands, its knife and its handle are not of a bowl."""


def marks_of_bowl(cautions: Iterable[Caution], dish: Dish, step: Step, key: str) -> tuple[str, ...]:
    """The words of the cautions for the bowl of this ingredient that goes in at the step: those about whatever goes in there, and those
    about the ingredient, at whichever step of the dish they are told."""
    found = [
        c
        for c in cautions
        if c.printed
        and c.dish.file == dish.file
        and (key in c.about if c.about else c.step is step and mark_word(c.rule) in _GOES_IN)
    ]
    return tuple(dict.fromkeys(mark_word(c.rule) for c in found))


def _where(steps: Mapping[str, Iterable[int]], dishes: Collection[str]) -> str:
    """``Bisque, steps 1 and 2; Hake, step 4``, ``Bisque`` of a dish as a whole; empty where it holds for all ``dishes``."""
    if set(steps) == set(dishes) and not any(list(numbers) for numbers in steps.values()):
        return ""
    words = []
    for dish, numbers in steps.items():
        told = [str(n) for n in numbers]
        if not told:
            words.append(dish)
            continue
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
        words.append(f"{dish}, step{'' if len(told) == 1 else 's'} {listed}")
    return "; ".join(words)


def caution_text(cautions: Sequence[Caution]) -> list[str]:
    """The same as lines of a text, each with what is published of it under it."""
    return [
        f"{c.where}: {c.text}".removeprefix(": ") + (f"\n  source: {c.source}" if c.source else "")
        for c in printed_cautions(cautions)
    ]


def cautions_json(cautions: Sequence[Caution]) -> list[dict[str, Any]]:
    """Each caution as it is printed: ``dish``, ``step`` (its id, null of the whole dish), ``rule``, ``text``, ``source`` (whole, with
    what is from memory or common practice), ``overlay`` (the lines on screen), ``deadly``, and ``answered`` with the recipe's own answer or null."""
    return [
        {
            "dish": c.dish.name,
            "step": c.step.id if c.step is not None else None,
            "rule": c.rule.id,
            "text": c.printed,
            "source": c.rule.source,
            "overlay": list(c.overlay),
            "deadly": c.rule.deadly,
            "answered": c.answer.reason if c.answer is not None else None,
        }
        for c in cautions
        if c.printed
    ]
