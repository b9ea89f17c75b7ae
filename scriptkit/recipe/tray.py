"""The step of a draft that holds what no step names, until a person says where each goes in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from scriptkit.recipe.file_edit import Add, Append, Delete, Edit, Put

TRAY = "where-does-it-go-in"
"""The id of such a step; of a second one, with a number behind it."""
NO_METHOD = "its source gives no method: write the steps"
"""What such a step was read from where there is no other."""
LONGEST_DO = 4000
"""As long a text as a step of a dish file takes."""


def is_tray(step_id: str) -> bool:
    """Whether a step of this id holds what no step names.

    >>> is_tray("where-does-it-go-in"), is_tray("where-does-it-go-in-2"), is_tray("step-1")
    (True, True, False)
    """
    return step_id == TRAY or (step_id.startswith(f"{TRAY}-") and step_id[len(TRAY) + 1 :].isdigit())


def tray_words(names: Sequence[str]) -> str:
    """What such a step says."""
    return f"No step says where these go in: {', '.join(names)}."[:LONGEST_DO]


def goes_in(steps: Sequence[Mapping[str, Any]], tray: int, name: str, step: int) -> tuple[Edit, ...]:
    """The changes by which ``name`` goes in at ``step`` and leaves the ``tray``, both as indices of the file's steps; an emptied tray goes."""
    add = steps[step].get("add")
    if isinstance(add, Mapping):
        put: Edit = Add(("steps", step, "add"), name, "all")
    elif add:
        put = Append(("steps", step, "add"), name)
    else:
        put = Add(("steps", step), "add", {name: "all"}, after="do")
    uses = steps[tray].get("uses") or []
    left = [used for used in ([uses] if isinstance(uses, str) else uses) if used != name]
    if not left:
        return (put, Delete(("steps", tray)))
    return (put, Put(("steps", tray, "uses"), left), Put(("steps", tray, "do"), tray_words(left)))
