"""What the tests of spoken figures share: the example's talk, lines said at a step, and the claims in them."""

from __future__ import annotations

from pathlib import Path

from conftest import EXAMPLES, Table

from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.claims.claim import Claim
from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of

TALK = (Path(__file__).parent / "talks" / "harbour-supper.txt").read_text(encoding="utf-8")
"""The example meal's cut as a cook would talk through it, every figure right."""
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
PLACES = {
    "dice-celeriac": 14, "slice-fennel": 26, "chop-chives": 35, "dry-hake": 45, "chop-parsley": 56, "soften-fennel": 70,
    "simmer": 90, "blend": 108, "finish": 122, "plate-bisque": 142, "sear-hake": 180, "turn-hake": 202, "brown-butter": 216,
    "plate-hake": 232,
}  # fmt: skip
"""Seconds at which the talk is at each step, by ear."""
BUTTER = """
    dish: Leeks
    servings: 40
    ingredients:
      leek: {{amount: 2 kg}}
      butter: {{amount: {amount}, food: "butter, unsalted"}}
    steps:
      - {{id: soften, stage: cook, do: Soften the leek., add: {{leek: all, butter: all}}, vessel: pan, hands: 1 min, wait: 8 min, heat: oven 200 °C, screen: 9 s}}
"""


def cut_at(source: Dish | Meal, seconds: dict[str, int]) -> Cut:
    placements = tuple(
        Placement(dish=s.dish, step=s.step, time_ms=1000 * seconds[s.step.id] if s.step.id in seconds else None, confidence=0.9)
        for s in plan_of(source).segments
        if s.step is not None and s.dish is not None
    )  # fmt: skip
    return Cut(title=source.name, length_ms=300_000, placements=placements, confidence=0.9)


def claims_of_talk(text: str) -> tuple[Claim, ...]:
    return claims_in(SUPPER, read_transcript(text.encode(), "cut.txt"), cut_at(SUPPER, PLACES))


def wrong(claims: tuple[Claim, ...]) -> list[Claim]:
    return [c for c in claims if c.agrees is False]


def said(source: Dish | Meal, step_id: str, *lines: str) -> tuple[Claim, ...]:
    """The claims of lines that are said, 4 s each, from a second before the step's moment on."""
    start = 599_000
    transcript = Transcript(
        file="cut.txt",
        lines=tuple(SpokenLine(start + n * 4000, start + n * 4000 + 3500, text, n + 1) for n, text in enumerate(lines)),
        problems=(),
    )
    ids = [s.step.id for s in plan_of(source).segments if s.step is not None]
    at = ids.index(step_id)
    return claims_in(source, transcript, cut_at(source, {name: 600 + 30 * (n - at) for n, name in enumerate(ids)}))


def leeks_in_butter(table: Table) -> Dish:
    """A fixture by ``pytest.fixture(leeks_in_butter)``: BUTTER with 60 g of it."""
    return table.dish(BUTTER.format(amount="60 g"))
