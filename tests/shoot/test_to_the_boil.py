"""A pot takes minutes to the boil: where the file gives no time the schedule has an estimate, and says that it is one."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.measure.timecode import RATES
from scriptkit.papers.description import description_of
from scriptkit.papers.schedule import length_words, schedule_json, schedule_text
from scriptkit.papers.stage import stage_data
from scriptkit.papers.timeline import timeline_of
from scriptkit.production import Production
from scriptkit.shoot.day.schedule import schedule_of

POT = """
    dish: Leek broth
    servings: 2
    ingredients: {{leek: 300 g, stock: {{amount: {amount}, food: water, prep: "{prep}"}}}}
    steps:
      - {{id: boil, stage: cook, do: "{do}", add: {{stock: all}}, vessel: pot, heat: {heat}, hands: 1 min{more}}}
      - {{id: leek, stage: cook, do: Simmer the leek., add: {{leek: all}}, vessel: pot, heat: low, hands: 1 min, wait: 5 min}}
    kitchen: {{filming: 0 min}}
"""


def pot(table: Table, **said: str) -> tuple[float, str]:
    """How long the first step takes, and what the table says of it."""
    usual = {
        "amount": "1000 g",
        "prep": "",
        "do": "Pour in the stock and bring it to the boil.",
        "heat": "high",
        "more": "",
    }
    schedule = schedule_of(table.dish(POT.format(**(usual | said))))
    task = schedule.tasks[0]
    return task.end_min - task.start_min, schedule_text(schedule)


def test_a_litre_takes_about_8_minutes_and_every_paper_says_that_it_is_an_estimate(table: Table) -> None:
    """1 kg × 4.19 kJ/kg/K × 85 K = 356 kJ, at 0.75 kW 475 s: 8 min, of which the hands have one."""
    minutes, text = pot(table)
    assert minutes == 8
    assert "Step 1 of Leek broth: about 7 min more to the boil, an estimate" in text
    schedule = schedule_of(table.dish(POT.format(
        amount="1000 g", prep="", do="Pour in the stock and bring it to the boil.", heat="high", more=""
    )))  # fmt: skip
    assert next(m.wait for m in timeline_of(schedule).moments) == (
        "hands free at 0:01, then about 7 min to the boil, estimated, until 0:08"
    )
    data = schedule_json(schedule, None)
    tasks = data["tasks"]
    assert isinstance(tasks, list) and [t["to_the_boil_about_min"] for t in tasks] == [7.0, None]
    assert schedule.length_min == 8 + 6


@pytest.mark.parametrize(
    ("said", "minutes"),
    [
        ({"amount": "2000 g"}, 16),
        ({"amount": "100 g"}, 1),  # at the boil before the hands are done
        ({"heat": "medium"}, 12),
        ({"more": ", wait: 4 min"}, 5),  # the file gives the time
        ({"more": ", wait: 0 min"}, 1),
        ({"do": "Pour in the stock, bring it to the boil and simmer for 20 minutes."}, 20),
        ({"do": "Pour in the boiling stock and bring it to the boil."}, 1),
        ({"do": "Pour in the stock and bring it back to the boil."}, 1),
        ({"prep": "hot"}, 1),
        ({"prep": "with a little hot sauce"}, 8),
        ({"do": "Pour in the stock and bring it to the boil. Once boiling, lower the heat."}, 8),
        ({"do": "Pour in the stock. Do not bring it to the boil."}, 1),
        ({"do": "Pour in the stock and warm it."}, 1),
    ],
)
def test_only_what_is_cold_and_has_no_time_is_estimated(table: Table, said: dict[str, str], minutes: float) -> None:
    assert pot(table, **said)[0] == minutes


def test_the_stage_page_has_a_timer_for_it_and_every_total_says_about(table: Table) -> None:
    text = POT.format(
        amount="1000 g", prep="", do="Pour in the stock and bring it to the boil.", heat="high", more=", screen: 12 s"
    )
    day = Production(table.read(text))
    data = dict(stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats))
    steps = [list(one) for one in data["steps"]]  # type: ignore[union-attr,arg-type]
    assert [(s[0], s[4], s[5], s[7]) for s in steps] == [
        ("boil", 7 * 60_000, "about 7 min", "To the boil (an estimate)"),
        ("leek", 5 * 60_000, "5 min", "Simmer the leek"),
    ]
    rows: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    begins = {r[0] for r in rows if len(r) > 8 and int(str(r[8])) & 2}
    own = [s for s in day.shots if s.step and s.step.id == "boil"]
    assert [bool(s.additions) for s in own if s.slate in begins] == [True]
    assert day.total_time.words == "about 14 min for one cook"
    assert "It takes one cook about 14 min." in repr(description_of(day.publication()))
    assert day.schedule is not None and length_words(day.schedule).startswith("Ready in about 14 min")
    stated = Production(table.read(text.replace("hands: 1 min, screen", "hands: 1 min, wait: 7 min, screen")))
    assert stated.total_time.words == "14 min for one cook"
