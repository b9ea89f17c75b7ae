"""Who a dish or meal is made for, as its file says with `for:`, in words for the papers."""

from __future__ import annotations

from scriptkit.english.eaters import INFANT, NO_ALCOHOL, OLDER, PREGNANT, TODDLER
from scriptkit.recipe.dish import Dish, Meal

_WHO = {
    INFANT: "a baby under one year",
    TODDLER: "a child under five",
    PREGNANT: "someone who is pregnant",
    OLDER: "an older person",
    NO_ALCOHOL: "people who drink no alcohol",
}
ASK = "The cautions are the usual advice and may not be all of it: ask your health service."


def made_for(source: Dish | Meal) -> str:
    """``Made for someone who is pregnant.`` with the sentence that defers to a health service; of a meal for whom any of its dishes is made.
    Empty where the file names nobody."""
    dishes = source.dishes if isinstance(source, Meal) else ()
    named = {who for one in (source, *dishes) for who in one.published.eaters}
    who = [words for key, words in _WHO.items() if key in named]
    if not who:
        return ""
    *first, last = who
    words = f"{', '.join(first)} and {last}" if first else last
    return f"Made for {words}." + (f" {ASK}" if named - {NO_ALCOHOL} else "")
