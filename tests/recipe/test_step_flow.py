"""What arrives at a step, what is left behind there, and the figures and papers that follow."""

from __future__ import annotations

from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.dish_meal_macros import all_macros
from scriptkit.pack import make_pack
from scriptkit.papers.macros_json import dish_json
from scriptkit.problems import Problem
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.step_graph import AFTER, FIRST, FOLLOWS, FROM, NAMED, PREPARED, graph_of

DISH = """
    dish: Chicken
    servings: 2
    ingredients:
      chicken: {{amount: 400 g, food: "chicken thigh, skinless"}}
      yoghurt: {{amount: 200 g, food: "yoghurt, plain"}}
      lemon juice: 20 g
    steps:
      - {{id: marinate, stage: prep, do: Turn it over., add: [yoghurt, chicken], vessel: bowl, hands: 2 min, wait: 2 h, screen: 8 s}}
      - {{id: wipe, stage: prep, do: Wipe it., from: marinate, {behind}, hands: 2 min, screen: 5 s}}
      - {{id: fry, stage: cook, do: Fry it., from: wipe, add: lemon juice, vessel: pan, hands: 8 min, screen: 8 s}}
"""


def shares(dish: Dish) -> dict[str, float]:
    return {i.key: round(i.behind_share, 4) for i in dish.ingredients if i.behind_share}


@pytest.mark.parametrize(
    ("behind", "share"),
    [
        ("left_behind: {yoghurt: 60 %}", {"yoghurt": 0.6}),
        ("left_behind: {yoghurt: half}", {"yoghurt": 0.5}),
        ("left_behind: {yoghurt: 50 g}", {"yoghurt": 0.25}),
        ("left_behind: {yoghurt: all}", {"yoghurt": 1.0}),
        ("left_behind: {yoghurt: some}", {"yoghurt": 0.7}),
        ("left_behind: yoghurt", {"yoghurt": 0.7}),
        ("left_behind: {yoghurt: 60 %, chicken: 10 %}", {"yoghurt": 0.6, "chicken": 0.1}),
    ],
)
def test_shares_of_what_arrives_are_not_eaten(table: Table, behind: str, share: dict[str, float]) -> None:
    dish = table.dish(DISH.format(behind=behind))
    assert shares(dish) == share
    macros = all_macros(dish, (dish,)).dishes[0]
    eaten = {i.key: m.weight_g for i, m in macros.ingredients}
    assert eaten["yoghurt"] == pytest.approx(200 * (1 - share["yoghurt"]))


def test_only_what_arrives_can_be_left_behind(table: Table) -> None:
    """Half of the marinade goes on, and six tenths of that stays: three tenths of the yoghurt."""
    dish = table.dish(
        DISH.format(behind="left_behind: {yoghurt: 60 %}").replace("from: marinate", "from: {marinate: half}")
    )
    assert shares(dish) == {"yoghurt": 0.3}


def test_an_unweighed_marinade_is_an_estimate_that_every_paper_shows(table: Table) -> None:
    text = DISH.format(behind="tools: [tongs]").replace("do: Wipe it.", "do: Lift it out and discard the marinade.").replace(
        "do: Turn it over.", "do: Marinate the chicken."
    )  # fmt: skip
    reading = table.read(text)
    dish = reading.usable()
    assert isinstance(dish, Dish)
    (yoghurt,) = [i for i in dish.ingredients if i.behind_share]
    assert (yoghurt.key, yoghurt.behind_range) == ("yoghurt", (0.5, 0.9))
    assert [p.code for p in reading.problems] == ["left-behind-estimated"]
    files = make_pack(Production(reading)).files
    for name in (
        "report.txt",
        "description.txt",
        "recipe-card.html",
        "shoot-list.html",
        "mise-en-place.html",
        "schedule.html",
    ):
        assert "100–180 g of it is left behind (an estimate)" in files[name], name
    (macros,) = all_macros(dish, (dish,)).dishes
    assert [i["left_behind_g"] for i in dish_json(macros)["ingredients"]] == [0, 140, 0]  # type: ignore[index, union-attr, call-overload]


def test_the_edges_say_why(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {leek: 100 g, carrot: 50 g, celery: 50 g, onion: 20 g}
        steps:
          - {id: cut, stage: prep, do: Cut it., uses: leek}
          - {id: mix, stage: prep, do: Mix it., add: carrot, vessel: bowl}
          - {id: oven, stage: prep, do: Heat the oven.}
          - {id: fry, stage: cook, do: Fry it., add: leek}
          - {id: stir, stage: cook, do: Stir the carrot in., add: celery}
          - {id: toast, stage: cook, do: Toast it., after: mix, add: onion}
          - {id: join, stage: cook, do: Join them., from: {stir: half, toast: all}}
    """)
    found = {(e.before, e.later): (e.reason, e.takes, e.share) for e in graph_of(dish).edges}
    assert found == {
        (1, 4): (PREPARED, True, None),
        (2, 5): (NAMED, True, None),
        (2, 6): (AFTER, True, None),
        (3, 4): (FIRST, False, None),
        (4, 5): (FOLLOWS, True, None),
        (5, 7): (FROM, True, Fraction(1, 2)),
        (6, 7): (FROM, True, Fraction(1)),
    }


def test_the_hint_for_what_is_handled_twice_mends_it(table: Table) -> None:
    wrong = DISH.format(behind="left_behind: {yoghurt: 60 %}").replace(
        "from: wipe, add: lemon juice", "add: [lemon juice, chicken]"
    )
    told = [p for p in Production(table.read(wrong)).problems if p.code == "used-twice"]
    assert ["`from: marinate`" in p.hint for p in told] == [True]
    right = wrong.replace("add: [lemon juice, chicken]", "from: wipe, add: lemon juice")
    assert not [p for p in Production(table.read(right)).problems if p.code == "used-twice"]


parts = st.lists(st.sampled_from(["half", "a third", "25 %", "40 g", "rest", "all"]), min_size=1, max_size=4)


@given(parts, st.integers(0, 100))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_what_is_lost_is_never_more_than_went_in(table: Table, taken: list[str], percent: int) -> None:
    steps = [
        f"{{id: t{n}, stage: cook, do: Go on., from: {{mix: {words}}}, left_behind: {{leek: {percent} %}}, vessel: pan}}"
        for n, words in enumerate(taken)
    ]
    listed = "\n".join(
        f"  - {s}" for s in ["{id: mix, stage: prep, do: Mix it., add: [leek, carrot], vessel: bowl}", *steps]
    )
    reading = table.read(f"dish: D\nservings: 1\ningredients: {{leek: 60 g, carrot: 60 g}}\nsteps:\n{listed}\n")
    dish = reading.source
    assert isinstance(dish, Dish)
    lost = {i.key: i.behind_share for i in dish.ingredients}
    assert lost["carrot"] == 0
    assert 0 <= lost["leek"] <= percent / 100 + 1e-9
    whole = {"half": 1 / 2, "a third": 1 / 3, "25 %": 1 / 4, "40 g": 1 / 3, "all": 1.0}
    before_rest = [whole.get(words, 0.0) for words in taken]
    over = sum(before_rest) > 1.02
    assert not over or any(p.code == "parts" for p in reading.problems)


JUICES = """
    dish: Roast
    servings: 4
    ingredients: {chicken: {amount: 1.2 kg, food: "chicken thigh, skin-on"}, yoghurt: {amount: 200 g, food: "yoghurt, plain"}, stock: {amount: 200 g, food: "chicken stock, ready-made"}, leek: 100 g}
    steps:
      - {id: marinate, stage: prep, do: Marinate the chicken in the yoghurt., add: {chicken: all, yoghurt: all}, vessel: bowl, wait: 2 h}
      - {id: roast, stage: cook, do: Roast the chicken., from: marinate, vessel: roasting tin, heat: oven 200 °C, wait: 40 min}
      - {id: sauce, stage: cook, do: Simmer the stock in it., from: {roast: juices}, add: {stock: all}, vessel: small pan, heat: medium, hands: 5 min}
      - {id: more, stage: cook, do: Simmer the leek in it., from: MORE, add: {leek: all}, vessel: saucepan, heat: medium, hands: 5 min}
"""


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("{sauce: all}", None),
        ("{roast: juices}", "the juices of roast go on elsewhere already (line 8)"),
        ("{marinate: juices}", "nothing is heated at step 1 (marinate), so there are no juices to take over"),
    ],
)
def test_juices_run_out_of_what_is_cooked_and_go_on_once(table: Table, more: str, told: str | None) -> None:
    problems = table.read(JUICES.replace("MORE", more)).problems
    assert [p.message for p in problems if p.code == "juices"] == ([] if told is None else [told])


WAITING = """
    dish: Leeks
    servings: 2
    ingredients: {leek: 200 g, butter: {amount: 20 g, food: "butter, unsalted"}}
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek}
      - {id: soften, stage: cook, do: Soften the leek., FIRST, add: {leek: all, butter: all}, vessel: pan, heat: low, wait: 8 min}
      - {id: blend, stage: cook, do: Blend it., SECOND, vessel: jug}
"""


@pytest.mark.parametrize(
    ("first", "second", "code", "fix", "mended"),
    [
        ("from: blend", "from: soften", "circle", "delete `blend` in `from:` of step 2 (soften)", ("sound: mos", "from: soften")),
        ("after: [blend]", "from: soften", "circle", "delete `blend` in `after:` of step 2 (soften)", ("sound: mos", "from: soften")),
        ("sound: mos", "from: {soften: 900 g}", "parts", "write `soften: all`", ("sound: mos", "from: {soften: all}")),
    ],
)  # fmt: skip
def test_what_cannot_be_has_a_fix_that_works(
    first: str, second: str, code: str, fix: str, mended: tuple[str, str], table: Table
) -> None:
    def errors(one: str, other: str) -> list[Problem]:
        found = Production(table.read(WAITING.replace("FIRST", one).replace("SECOND", other))).problems
        return [p for p in found if p.severity == "error"]

    (told,) = errors(first, second)
    assert told.code == code
    assert told.place.line == (7 if code == "circle" else 8)
    assert fix in told.hint
    assert errors(*mended) == []


@pytest.mark.parametrize("other", ["soften", "blend"])
def test_taking_over_from_a_later_step_is_one_problem(other: str, table: Table) -> None:
    """What follows from an order that nobody can mean need not be told; with the step moved, as its fix says, nothing is wrong."""

    def told(text: str) -> list[Problem]:
        return [p for p in Production(table.read(text)).problems if p.severity != "note"]

    first = "from: blend" if other == "blend" else "sound: mos"
    text = WAITING.replace("FIRST", first).replace("SECOND", "after: [slice]" if other == "blend" else "sound: mos")
    if other == "soften":
        text = text.replace("do: Slice the leek., uses: leek", "do: Slice the leek., uses: leek, from: soften")
    found = told(text)
    assert [p.code for p in found] == ["later-step"]
    if other == "blend":
        assert found[0].hint == "write step 3 before it"
        *head, soften, blend = text.rstrip().splitlines()
        moved = "\n".join([*head, blend, soften])
        assert told(moved) == []
