"""The cautions as papers print them: each text once, with the steps that it applies to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.safety.rule_matching import Caution


@dataclass(frozen=True, slots=True)
class PrintedCaution:
    """``where``: the dishes and steps that it applies to, empty where it holds for the whole."""

    where: str
    text: str
    source: str


def printed_cautions(cautions: Sequence[Caution]) -> tuple[PrintedCaution, ...]:
    """Each text once, with the steps that it applies to; what holds for the whole comes last."""
    steps: dict[tuple[str, str], dict[str, dict[int, None]]] = {}
    for caution in (c for c in cautions if c.printed):
        here = steps.setdefault((caution.printed, caution.rule.source), {})
        if caution.step is not None:
            here.setdefault(caution.dish.name, {})[caution.step.number] = None
    found = [PrintedCaution(_where(by_dish), text, source) for (text, source), by_dish in steps.items()]
    return (*(p for p in found if p.where), *(p for p in found if not p.where))


def _where(steps: Mapping[str, Iterable[int]]) -> str:
    """``Bisque, steps 1 and 2; Hake, step 4``; empty where it holds for the whole."""
    words = []
    for dish, numbers in steps.items():
        told = [str(n) for n in numbers]
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
        words.append(f"{dish}, step{'' if len(told) == 1 else 's'} {listed}")
    return "; ".join(words)


def caution_text(cautions: Sequence[Caution]) -> list[str]:
    """The same as lines of a text, each with its source under it."""
    return [f"{c.where}: {c.text}".removeprefix(": ") + f"\n  source: {c.source}" for c in printed_cautions(cautions)]
