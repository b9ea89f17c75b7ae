"""Where the overlay would tell of each addition that is not on camera."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.captions.composed import overlay_on, usual_room
from scriptkit.cut.also import also_text
from scriptkit.cut.coverage import Coverage
from scriptkit.cut.cut_plan import plan_in_cut
from scriptkit.problems import Place
from scriptkit.shoot.plan import plan_of
from scriptkit.timed_text.cue import Cue


def rescue_cues(coverage: Coverage) -> Mapping[Place, Cue]:
    """By the addition's place in the recipe: the cue that says it is in the pan too, composed with everything else that the
    overlay says, so no cue runs into another, and each can be read twice. In the cut; before there is one, in the planned
    one; none before anything is shot."""
    gaps = coverage.gaps
    if not gaps or all(row.still_to_shoot for row in gaps) or coverage.other_video:
        return {}
    source = coverage.source
    plan = plan_of(source) if coverage.cut is None else plan_in_cut(plan_of(source), coverage.cut)
    cues, _ = overlay_on(source, plan, usual_room(source), {row.addition.place for row in gaps})
    found: dict[Place, Cue] = {}
    for row in gaps:
        text = also_text(row.step, row.addition)
        cue = next((c for c in cues if " ".join(c.lines) == text and c not in found.values()), None)
        if cue is not None:
            found[row.addition.place] = cue
    return found
