"""What of a fruit a line asks for: its juice, its zest, or both."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scriptkit.drafting.food_matching import folded, is_of
from scriptkit.drafting.line_amounts import read_amount
from scriptkit.drafting.line_text import LineText
from scriptkit.measure.amounts import Kind, parse_amount
from scriptkit.measure.numbers import NUMBER
from scriptkit.pantry.eaten_parts import eaten_part, wholes

_JUICE = re.compile(
    r"^(?:the\s+)?(?:freshly[ -]squeezed\s+|fresh\s+|grated\s+|finely grated\s+)*(?P<what>(?:juice|zest|rind)(?:\s*(?:and|&|\+|,)\s*(?:the )?(?:finely |freshly |coarsely )?(?:grated |squeezed )*(?:juice|zest|rind))?)\s*(?:of|from)\s+(?P<rest>.+)$",
    re.IGNORECASE,
)
_JUICED = re.compile(
    r"\b(?:(?P<both>zested and juiced|juiced and zested|juice and zest|zest and juice)|(?P<juice>juiced|juice only|juice of|juice)|(?P<zest>zested|zest only|zest))\b",
    re.IGNORECASE,
)
_SPOONS = re.compile(
    rf"(?:about |approx\.? |~)?({NUMBER})\s?(teaspoons?|tsps?|tablespoons?|tbsps?)\b\.?\W*", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FruitPart:
    """``food`` is a kitchen name of the pantry, ``amount`` as a dish file takes it; ``remark`` says how it was read."""

    name: str
    food: str
    amount: str
    remark: str


def fruit_parts(said: LineText) -> list[FruitPart]:
    """*Juice of 1 lemon*, *1 lime, zested and juiced*: what a fruit gives; empty where the line asks for none of it."""
    found = _JUICE.match(said.text)
    if found:
        told, what = read_amount(found.group("rest")), found.group("what").casefold()
    else:
        told = read_amount(said.text)
        tail = told.rest.partition(",")[2] + " " + " ".join(said.notes)
        words = _JUICED.search(tail)
        what = "" if words is None else (words.lastgroup or "")
        what = {"both": "juice and zest"}.get(what, what)
        if what and {"juice", "zest"} <= set(folded(tail)):  # *zest finely grated, plus juice*
            what = "juice and zest"
    fruit = next((f for f in wholes() if f in folded(told.rest.partition(",")[0])), "")
    amount = told.amount
    if not what and amount is not None and amount.unit == "piece" and folded(told.rest)[-1:] == ["juice"]:
        what = "juice"
    if not what or not fruit or (amount is not None and amount.kind is not Kind.COUNT):
        return []
    if (
        not found
        and folded(told.rest)[-1:] != ["juice"]
        and not set(folded(told.rest.partition(",")[0])) - {fruit}
        <= {w for w in folded(told.rest) if is_of(w, "plain", "variety")}
    ):
        return []
    number = float(amount.value) if amount is not None else 1.0
    named = [n for n in ("juice", "zest") if n in what or (n == "zest" and "rind" in what)]
    noted = next((m for n in said.notes if (m := _SPOONS.fullmatch(n))), None)
    out = []
    for given in named:
        if (part := eaten_part(fruit, given)) is None:
            continue
        grams = part.grams * number
        weight, remark = f"{max(grams, 1):.0f} g", f"{number:g} {fruit} taken as {grams:.0f} g of {given}"
        if noted and len(named) == 1:
            weight, remark = str(parse_amount(f"{noted[1]} {noted[2]}")), f"{number:g} {fruit}"
        out.append(FruitPart(name=f"{fruit} {given}", food=part.food, amount=weight, remark=remark))
    return out
