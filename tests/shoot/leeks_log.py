"""What the tests of the take log share: a dish, one good row of its log, and a log read from rows."""

from __future__ import annotations

from conftest import EXAMPLES, Table

from scriptkit.measure.timecode import RATES
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import COLUMNS, TakeLog
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of

LEEKS = """
    dish: Leeks on toast
    servings: 2
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
      salt: to taste
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min, screen: 6 s}
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir it in., add: {mustard: all, salt: to taste}, vessel: wide pan, screen: 14 s}
"""
HEAD = ",".join(COLUMNS)
ROW = "Leeks on toast,,A001,C0001,3,A,1,soften,butter,10:00:00:00,10:00:05:00,2026-10-05 10:00:05,circled,steam"
"""One good row; the tests below bend it."""
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
SUPPER_SHOTS = shots_of(plan_of(SUPPER))
P25 = RATES["25"]
DROP = RATES["29.97 drop"]


def leeks_on_toast(table: Table) -> Dish:
    """A fixture by ``pytest.fixture(leeks_on_toast)``: the dish of LEEKS."""
    return table.dish(LEEKS)


def read(dish: Dish, *rows: str, head: str = HEAD) -> TakeLog:
    text = "".join(f"{line}\r\n" for line in (head, *rows))
    return read_log(text.encode("utf-8"), "takes.csv", dish, shots_of(plan_of(dish)))


def told(log: TakeLog) -> list[tuple[str, int, int]]:
    return [(p.code, p.place.line, p.place.column) for p in log.problems]
