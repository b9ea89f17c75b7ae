"""How an addition that was not filmed is told: on the picture, in the voice, in the description."""

from __future__ import annotations

from scriptkit.english.effect_kinds import INSTEAD, LATER
from scriptkit.english.plurals import singular
from scriptkit.measure.amounts import format_grams
from scriptkit.measure.words import amount_and_name
from scriptkit.recipe.dish import Addition, Step
from scriptkit.recipe.leading_units import lead_alone
from scriptkit.shoot.script.narration import spoken_amount


def also_text(step: Step, addition: Addition) -> str:
    """For the picture: ``Also in the pan: 20 g wholegrain mustard``."""
    name = addition.ingredient.display_name
    if addition.grams is None:
        return f"Also {step.reading.vessel.where}: {name}, to taste"
    return f"Also {step.reading.vessel.where}: {lead_alone(addition)} {name}"


def also_line(step: Step, addition: Addition) -> str:
    """For the voice: ``Also in the pan: twenty grams of wholegrain mustard.``"""
    amount = spoken_amount(addition)
    name = addition.ingredient.display_name
    what = f"{name}, to taste" if amount is None else amount_and_name(amount, name)
    return f"Also {step.reading.vessel.where}: {what}."


def also_written(step: Step, addition: Addition, *, seen: bool = False, at: str = "") -> str:
    """For the description: ``Not in the picture: 20 g wholegrain mustard, in the pan at step 7.`` ``seen``: it may be in the
    picture, and is not named. ``at``: what the description calls the step, where that is not its number in the file."""
    what = also_text(step, addition).partition(": ")[2]
    at = at or f"step {step.number}"
    return f"Not {'named in the video' if seen else 'in the picture'}: {what}, {step.reading.vessel.where} at {at}."


# --- what is not in the dish that was cooked ----------------------------------------------------------------------------


_SHOWN_AS = {LATER: "Not in yet", INSTEAD: "Replaced here"}
_SPOKEN_AS = {LATER: "here it goes in later", INSTEAD: "here something else stands in for it"}


def missing_text(step: Step, addition: Addition, said: str, stand_in: str = "") -> str:
    """For the picture: ``Left out here: 20 g wholegrain mustard``; of what is ``said`` to come later ``Not in yet: …``, of what was
    replaced ``Replaced here: …``, or ``Here honey replaces …`` where it is said what the ``stand_in`` is."""
    what = also_text(step, addition).partition(": ")[2]
    if said == INSTEAD and stand_in:
        last = stand_in.rsplit(maxsplit=1)[-1]
        replaces = "replaces" if singular(last) == last else "replace"
        return f"Here {stand_in} {replaces} {what.removesuffix(', to taste')}"
    return f"{_SHOWN_AS.get(said, 'Left out here')}: {what}"


def missing_line(step: Step, addition: Addition, said: str, stand_in: str = "") -> str:
    """For the voice: ``A correction. The recipe has twenty grams of wholegrain mustard, in the pan; it is not in what you see.``"""
    what = also_line(step, addition).partition(": ")[2].rstrip(".")
    became = _SPOKEN_AS.get(said, "it is not in what you see")
    if said == INSTEAD and stand_in:
        became = f"here {stand_in} went in instead"
    return f"A correction. The recipe has {what}, {step.reading.vessel.where}; {became}."


def missing_written(step: Step, addition: Addition, said: str, stand_in: str = "") -> str:
    """For the description: ``The recipe has 20 g wholegrain mustard in the pan; left out in the video.``"""
    what = also_text(step, addition).partition(": ")[2].removesuffix(", to taste")
    became = {LATER: "not yet in what you see", INSTEAD: f"the video uses {stand_in or 'something else'} instead"}
    return f"The recipe has {what} {step.reading.vessel.where}; {became.get(said, 'left out in the video')}."


def other_amount_written(step: Step, addition: Addition, said: str, grams: float | None = None) -> str:
    """For the description: ``In the video more wholegrain mustard went in; the recipe has 20 g wholegrain mustard.``; with ``grams``,
    what is said to have gone in: ``In the video about 35 g of wholegrain mustard went in; …``"""
    what = also_text(step, addition).partition(": ")[2]
    if grams is not None:
        said = f"about {format_grams(grams)} of"
    return f"In the video {said} {addition.ingredient.display_name} went in; the recipe has {what}."
