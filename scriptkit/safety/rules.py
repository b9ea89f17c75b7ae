"""The rules file, read into frozen rules."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from importlib import resources
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One caution. Texts may hold ``{food}``, ``{fill}``, ``{batches}`` and ``{batch_volume}``."""

    id: str
    severity: str
    """``safety``: a published figure; ``caution``: how a hazard is met; ``note``: printed on every page."""
    when: tuple[tuple[str, str | bool], ...]
    overlay: tuple[str, ...]
    spoken: str
    printed: str
    source: str
    minimum_c: float | None = None
    rest_min: float | None = None


@functools.cache
def rules() -> tuple[Rule, ...]:
    """Every rule of rules.yaml, in the file's order."""
    import yaml

    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    text = resources.files("scriptkit.safety").joinpath("rules.yaml").read_text(encoding="utf-8")
    return tuple(
        Rule(**{**row, "when": tuple(row["when"].items()), "overlay": tuple(row["overlay"])})
        for row in yaml.load(text, Loader=loader)
    )
