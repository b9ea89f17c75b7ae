"""The rules files, read into frozen rules."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from scriptkit.data_files import Shape, made_of_entries, shape_of
from scriptkit.safety.conditions import CONDITIONS
from scriptkit.safety.marinades import SERVED, THROWN_AWAY

FILES = (
    "rules.yaml", "rules_burns.yaml", "rules_temperatures.yaml", "rules_keeping.yaml", "rules_foods.yaml", "rules_poisons.yaml",
    "rules_eaters.yaml", "rules_set.yaml",
)  # fmt: skip
OVERLAY, SPOKEN, PRINTED = "overlay", "spoken", "printed"

_PUBLISHED = re.compile(r"\b(?:FoodSafety\.gov|FSIS|NFPA|FDA|Regulation|USDA|EFSA|CDC|WHO|EPA|CFR)\b")
_NOT_READ = re.compile(r"common practice|no source|from memory|food magazines")

Asked = tuple[tuple[str, Any], ...]
"""Conditions by name, with their values."""


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One caution. Texts may hold the words of ``caution_words.py`` in braces."""

    id: str
    severity: str
    """``safety``: a published figure; ``caution``: how a hazard is met; ``note``: for the papers."""
    told: str
    """``step``: at each step where it holds; ``dish``: once, at the first; ``whole``: of the dish, at no step."""
    where: tuple[str, ...]
    """Which of overlay, spoken and printed carry it."""
    when: tuple[Asked, ...]
    """One of these must hold, each with all of its conditions."""
    unless: Asked
    """None of these may hold."""
    instead_of: tuple[str, ...]
    short: tuple[str, ...]
    """For the overlay: a cue each."""
    spoken: str
    printed: str
    source: str
    minimum_c: float | None = None
    rest_min: float | None = None
    where_marinade: Mapping[str, Mapping[str, Any]] = field(default_factory=dict, hash=False)
    """Other texts where it is known what becomes of a marinade: by marinades.py's words for it, ``short``, ``spoken``, ``printed``."""
    deadly: bool = False
    """What is published stops at it until the recipe answers it."""
    not_for: tuple[str, ...] = ()
    """Eaters who must not eat it: what is published stops at it too where the dish is for one of them, until the recipe answers it."""
    safe_when: str = ""
    """What to write where it is made safe for those whom it is not for."""
    for_crew: bool = False
    """Only for those who film; a viewer cooks without camera, lamps and twins."""

    @functools.cached_property
    def published_source(self) -> str:
        """Of the source what is published and was read; empty where it is common practice or from memory."""
        parts = [part.strip() for part in self.source.split(";")]
        return "; ".join(p for p in parts if _PUBLISHED.search(p) and not _NOT_READ.search(p))

    @property
    def measured(self) -> bool:
        """Whether it is read when the food is checked, at the end of the step: a temperature or a sign of doneness."""
        return self.minimum_c is not None or any(name == "class" for asked in self.when for name, _ in asked)

    @property
    def tells_a_dose(self) -> bool:
        """Whether its text says how much of something is in a serving."""
        return any(word in self.printed for word in ("{dose}", "{alcohol_left}", "{polyols}"))

    @property
    def title(self) -> str:
        """Its id in words."""
        words = self.id.replace("-", " ")
        return words[:1].upper() + words[1:]


_TEXTS_BY_FATE = Shape(
    optional=frozenset({THROWN_AWAY, SERVED}),
    inside=dict.fromkeys((THROWN_AWAY, SERVED), Shape(required=frozenset({"short", "spoken", "printed"}))),
)


@functools.cache
def rules() -> tuple[Rule, ...]:
    """Every rule, in the files' order. Raises BadDataFile."""
    return tuple(rule for name in FILES for rule in made_of_entries("scriptkit.safety", name, _shape(), _rule))


def _shape() -> Shape:
    dose = Shape(required=frozenset({"named", "per", "at_least"}))
    asked = Shape(optional=frozenset(CONDITIONS), inside={"dose": dose})
    return shape_of(
        Rule,
        called={"for_crew": "for"},
        optional=("where", "unless", "instead_of", "not_for", "safe_when", "where_marinade"),
        inside={"when": asked, "unless": asked, "where_marinade": _TEXTS_BY_FATE},
    )


def _rule(row: dict[str, Any]) -> Rule:
    row = dict(row)
    crew = row.pop("for", "") == "crew"
    when = row["when"] if isinstance(row["when"], list) else [row["when"]]
    return Rule(
        **{
            **row,
            "when": tuple(tuple(one.items()) for one in when),
            "unless": tuple(row.get("unless", {}).items()),
            "where": tuple(row.get("where", (OVERLAY, SPOKEN, PRINTED))),
            "instead_of": tuple(row.get("instead_of", ())),
            "not_for": tuple(row.get("not_for", ())),
            "short": tuple(row["short"]),
            "for_crew": crew,
        }
    )


@functools.cache
def rule_ids() -> tuple[str, ...]:
    """Every rule's id, in the order of the rules files."""
    return tuple(r.id for r in rules())
