"""One recipe file in; the shoot's papers, true macros and overlay captions out.

The library has the same verbs as the commands. The macros of a dish:

>>> import scriptkit
>>> production = scriptkit.read("examples/seared-hake.yaml")
>>> f"{production.macros.dishes[0].serving.at_least('protein_g'):.1f} g protein a serving"
'29.4 g protein a serving'

The captions of a cut:

>>> production = scriptkit.read("examples/harbour-supper.yaml", cut="examples/harbour-supper-cut.srt")
>>> captions = production.captions("vtt")
>>> captions.count(" --> ") == len(production.cues)
True
>>> [problem.message for problem in production.problems if problem.severity == "error"]
[]

What each result is, its units and what it raises stand at :class:`Production`. Nothing is loaded before it is asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from scriptkit.problems import CannotDo, Problem
    from scriptkit.production import Production, read, read_text

__version__ = "0.2.0"
__all__ = ["CannotDo", "Problem", "Production", "__version__", "read", "read_text"]


def __getattr__(name: str) -> Any:
    """The library, loaded when it is first used: ``import scriptkit`` alone loads nothing."""
    if name in ("CannotDo", "Problem"):
        from scriptkit import problems

        return getattr(problems, name)
    if name in ("Production", "read", "read_text"):
        from scriptkit import production

        return getattr(production, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    """What the library offers, and nothing that it is made of."""
    return sorted(__all__)
