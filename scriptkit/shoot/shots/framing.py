"""How each kind of shot is usually framed, and which kind a step asks for: data, all of it overridden by `shots:`."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.measure.amounts import Kind
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale
from scriptkit.pantry.food import Food
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Step

SIZES = {
    "WS": "wide shot", "MS": "medium shot", "MCU": "medium close-up", "CU": "close-up", "ECU": "extreme close-up",
    "OH": "overhead, straight down (house usage)",
}  # fmt: skip
"""Standard names of shot sizes; OH is house usage, so its key is printed."""
SOUNDS = {"sync": "SYNC", "voice-over": "VO", "mos": "MOS"}
"""SYNC: spoken to camera. VO: voice-over, recorded later. MOS: picture without sound."""


@dataclass(frozen=True, slots=True)
class Framing:
    """How a kind of shot is usually framed (common practice, no source)."""

    kind: str
    size: str
    angle: str
    move: str = "static"

    @property
    def seen_from(self) -> str:
        """Size and angle, ``CU three-quarter``; empty where the kind says it: an overhead is overhead."""
        return "" if self.kind == self.angle and self.size == "OH" else f"{self.size} {self.angle}".strip()


TO_CAMERA, FIRST_BITE = "piece to camera", "first bite"

# What the plan asks for → how it is framed.
LOOKS = {
    "beauty": Framing("beauty", "CU", "three-quarter", "slow push in"),
    FIRST_BITE: Framing(FIRST_BITE, "MCU", "eye level"),
    "plating": Framing("plating", "MCU", "three-quarter"),
    "addition": Framing("overhead", "OH", "overhead"),
    "addition under a hood": Framing("hands and pans", "MCU", "three-quarter"),
    "pour": Framing("hands and pans, pour", "CU", "three-quarter"),
    "sear": Framing("sizzle", "ECU", "three-quarter"),
    "blend": Framing("blend", "CU", "eye level"),
    "steam": Framing("steam", "CU", "eye level"),
    "knife": Framing("hands", "CU", "overhead"),
    "hands": Framing("hands and pans", "MCU", "three-quarter"),
    "doneness": Framing("close-up", "CU", "three-quarter"),
    "texture": Framing("texture test", "ECU", "three-quarter"),
    "probe": Framing("insert", "CU", "three-quarter"),
    "to camera": Framing(TO_CAMERA, "MS", "eye level"),
}

DONENESS_LOOKS = frozenset(LOOKS[name] for name in ("doneness", "texture", "probe"))

# A `kind:` as a cook writes it → how it is framed where the file says no more.
LOOK_OF_KIND = {
    "overhead": LOOKS["addition"],
    "hands and pans": LOOKS["hands"],
    "hands": LOOKS["knife"],
    "close-up": LOOKS["doneness"],
    "insert": LOOKS["probe"],
    "pour": Framing("pour", "CU", "three-quarter"),
    "sizzle": LOOKS["sear"],
    "blend": LOOKS["blend"],
    "steam": LOOKS["steam"],
    "texture test": LOOKS["texture"],
    "plating": LOOKS["plating"],
    "beauty": LOOKS["beauty"],
    FIRST_BITE: LOOKS[FIRST_BITE],
    "cutaway": Framing("cutaway", "CU", "eye level"),
    TO_CAMERA: LOOKS["to camera"],
}

LOOK_OF_METHOD = {
    "sear": "sear", "fry": "sear", "deep-fry": "sear", "grill": "sear", "blend": "blend", "simmer": "steam",
    "boil": "steam", "steam": "steam", "poach": "steam", "braise": "steam", "plate": "plating", "cut": "knife",
}  # fmt: skip
_ITS_OWN = frozenset({"sear", "blend"})
"""Looks that a line spoken to the camera does not take the place of."""


def action_look(step: Step) -> Framing:
    """The picture of what is done at the step, its additions aside."""
    usual = LOOK_OF_METHOD.get(step.reading.method, "knife" if step.stage == "prep" else "hands")
    return LOOKS["to camera" if step.sound == "sync" and usual not in _ITS_OWN else usual]


def addition_look(addition: Addition, *, under_hood: bool = False) -> Framing:
    """The picture of something going in: what pours is seen from the side, all else from above where a rig finds room."""
    if poured(addition):
        return LOOKS["pour"]
    return LOOKS["addition under a hood" if under_hood else "addition"]


def overhead(look: Framing) -> bool:
    """Whether the camera hangs over it."""
    return look.size == "OH" or look.angle.casefold().strip() in ("overhead", "top", "top down", "top-down")


_POURED = frozenset({"stock", "drink", "wine or spirit", "sauce", "dairy"})
_POURED_WORDS = frozenset({"oil", "juice", "vinegar", "water", "milk"})


def pours(food: Food) -> bool:
    """Whether it is stock, a drink, a sauce or dairy, or is called an oil, juice, vinegar, water or milk."""
    return food.category in _POURED or bool(_POURED_WORDS & set(words_of(food.name)))


def poured(addition: Addition) -> bool:
    """Liquids: written as a volume, of a food that pours."""
    amount = addition.ingredient.amount
    return pours(addition.ingredient.food) and amount is not None and amount.kind is Kind.VOLUME


_LONGEST_PREP = 48
"""Characters of a preparation that are read at a glance (common practice, no source)."""


def prep_words(addition: Addition) -> str:
    """What was done to it before, as the file says it: ``sliced, 5 mm``. Empty where nothing was, where its name says it, or where it
    is too long for a glance."""
    prep = " ".join(addition.ingredient.prep.split()).strip(" .")
    named = set(words_of(addition.ingredient.short_name))
    return "" if len(prep) > _LONGEST_PREP or set(words_of(prep)) <= named else prep


# --- doneness --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DonenessShot:
    """How the cook knows that it is done: ``words`` for the picture, and its look."""

    words: str
    look: Framing


def doneness_shot(step: Step) -> DonenessShot | None:
    """The step's cue: a temperature inside, else its *until …*; None where it has neither."""
    until = step.reading.until
    cue = until.cue if until else ""
    if step.core_c is not None:
        inside = in_scale(f"{format_temperature(step.core_c)} inside", step.units)
        return DonenessShot(f"{cue}, {inside}" if cue else inside, LOOKS["probe"])
    if until is None:
        return None
    return DonenessShot(cue, LOOKS["texture" if until.felt else "doneness"])
