"""The shots of a step follow its words: what is done first is filmed first, and what is salted or rubbed has it put on it."""

from __future__ import annotations

import itertools

import pytest
from conftest import Table

from scriptkit.measure.timecode import RATES
from scriptkit.papers.stage import stage_data
from scriptkit.production import Production
from scriptkit.shoot.plan import addition_windows, plan_of, screen_ms
from scriptkit.shoot.shots.shots import Shot, shots_of

DISH = """
dish: Gratin
servings: 2
ingredients: {leek: 400 g, feta: 80 g, crumbs: {amount: 30 g, food: 'breadcrumbs, dry'}, cream: {amount: 100 ml, food: double cream}, chicken: {amount: 400 g, food: chicken leg}, salt: 4 g, oil: {amount: 1 tbsp, food: olive oil}, paprika: 2 g}
steps:
  - {id: soften, stage: cook, do: Soften the leek., add: {leek: all, chicken: all}, vessel: pan, heat: medium, hands: 2 min, screen: 6 s}
  - {id: top, stage: cook, from: soften, %s}
film: {opening: 0 s, closing: 0 s}
"""
TOP = "do: 'Tip it into the dish, scatter the feta and the crumbs over it and bake it until golden.', add: {feta: all, crumbs: all}, vessel: baking dish, heat: oven 200 °C, hands: 3 min, wait: 18 min"


def shots(table: Table, step: str) -> list[Shot]:
    return [s for s in shots_of(plan_of(table.dish(DISH % step))) if s.step and s.step.id == "top"]


def pictures(table: Table, step: str) -> list[str]:
    return [s.additions[0].ingredient.short_name if s.additions else s.what for s in shots(table, step)]


def test_what_is_done_before_anything_goes_in_is_filmed_first(table: Table) -> None:
    told = pictures(table, f"{TOP}, screen: 20 s")
    assert told == [
        "Tip it into the dish.", "feta", "crumbs", "Scatter the feta and the crumbs over it and bake it until golden.",
        "Show that it is done: golden",
    ]  # fmt: skip


@pytest.mark.parametrize("screen", ["20 s", "9 s", "7 s", "4 s"])
def test_the_pictures_fill_the_time_of_the_step_whatever_there_is(table: Table, screen: str) -> None:
    found = shots(table, f"{TOP}, screen: {screen}")
    assert all(a.end_ms == b.start_ms for a, b in itertools.pairwise(found)) and all(s.planned_ms > 0 for s in found)
    assert found[0].what.startswith("Tip it into the dish") and [bool(s.additions) for s in found[:3]] == [
        False,
        True,
        True,
    ]
    plan = plan_of(table.dish(DISH % f"{TOP}, screen: {screen}"))
    segment = next(s for s in plan.segments if s.step and s.step.id == "top")
    assert [(a.number, first, last) for a, first, last in addition_windows(segment)] == [
        (s.additions[0].number, s.start_ms, s.end_ms) for s in found if s.additions
    ]


def test_where_there_is_no_time_for_two_pictures_the_whole_is_filmed_first(table: Table) -> None:
    assert pictures(table, f"{TOP}, screen: 6 s") == [
        "Tip it into the dish, scatter the feta and the crumbs over it and bake it until golden.", "feta", "crumbs",
    ]  # fmt: skip


def test_a_step_that_states_no_time_is_planned_with_it(table: Table) -> None:
    of = {id_: s for s in table.dish(DISH % TOP).steps for id_ in [s.id]}
    without = table.dish(DISH % TOP.replace("Tip it into the dish, scatter", "Scatter")).steps[-1]
    assert screen_ms(of["top"]) == screen_ms(without) + 3_000


def test_the_wait_still_begins_with_what_puts_it_in_the_oven(table: Table) -> None:
    day = Production(table.read(DISH % f"{TOP}, screen: 20 s"))
    data = dict(stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats))
    rows: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    assert [r[4] for r in rows if len(r) > 8 and int(str(r[8])) & 2] == [
        "Scatter the feta and the crumbs over it and bake it until golden."
    ]


@pytest.mark.parametrize(
    ("do", "add", "first"),
    [
        (
            "Turn the chicken, brush it with the glaze and scatter the feta over.",
            "feta",
            "Turn the chicken, brush it with the glaze.",
        ),
        ("Plate the fillets. Season with the salt.", "salt", "Plate the fillets."),
        ("Ladle into warm bowls and plate with the feta.", "feta", ""),  # without a word for what
        ("Slice into rounds and toss the feta over.", "feta", ""),  # what is sliced?
        ("Stir in the feta and the cream, and pepper it.", "feta, cream", ""),
        ("Heat the oven, then bake it under the feta.", "feta", ""),
        ("Take the pan off the heat and stir in the cream.", "cream", ""),  # of the pan, which is no picture of its own
        ("Beat until pale, then fold in the crumbs.", "feta, crumbs", ""),  # what is beaten?
        ("Beat it until pale, then fold in the crumbs.", "feta, crumbs", ""),
        ("Season it and stir in the feta.", "salt, feta", ""),
        ("Off the heat, stir in the cream.", "cream", ""),
        ("Stir it while the cream goes in.", "cream", ""),
        ("Whisk the feta, cream and oil.", "feta, cream, oil", ""),
        ("Let it cool, then stir in the cream.", "cream", ""),
        ("Simmer it for 20 minutes, then stir in the cream.", "cream", "Simmer it for 20 minutes."),
        (
            "Simmer it until thick, stir in the cream and leave it for 20 minutes.",
            "cream",
            "",
        ),  # the wait is of what comes last
        ("Simmer it, then stir in the cream.", "cream", ""),  # whose is the wait?
    ],
)
def test_it_is_split_only_where_the_words_tell_what_comes_first(table: Table, do: str, add: str, first: str) -> None:
    told = pictures(
        table, f"do: '{do}', add: [{add}], vessel: pan, heat: low, hands: 2 min, wait: 20 min, screen: 24 s"
    )
    begins = "" if told[0] in {"feta", "crumbs", "cream", "salt", "oil", "salt and feta"} else told[0]
    assert begins == first


@pytest.mark.parametrize(
    ("do", "add", "what"),
    [
        ("Salt the chicken and sear it.", "salt", "Put the salt on the chicken"),
        ("Season the chicken on both sides, then sear it.", "salt", "Put the salt on the chicken"),
        ("Rub the chicken with the paprika and the salt.", "paprika", "Put the paprika on the chicken"),
        ("Rub the paprika over the chicken and leave it.", "paprika", "Put the paprika on the chicken"),
        ("Brush the chicken with the oil.", "oil", "Put the oil on the chicken"),
        ("Salt the cream.", "salt", "Add the salt to the skillet"),  # it is stirred in
        ("Salt it.", "salt", "Add the salt to the skillet"),
        ("Sear the chicken in the oil.", "oil", "Pour the oil into the skillet"),
        ("Season the chicken and fry the leek in the oil.", "oil", "Pour the oil into the skillet"),
        ("Rub the pan with the oil.", "oil", "Pour the oil into the skillet"),
        ("Do not salt the chicken. Fry the leek with the salt.", "salt", "Add the salt to the skillet"),
    ],
)
def test_what_is_salted_or_rubbed_has_it_put_on_it(table: Table, do: str, add: str, what: str) -> None:
    day = Production(
        table.read(DISH % f"do: '{do}', add: [{add}], vessel: skillet, heat: high, hands: 2 min, screen: 9 s")
    )
    (shot,) = [s for s in day.shots if s.additions and s.step and s.step.id == "top"]
    assert shot.what == what
    data = dict(stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats))
    rows: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    (cells,) = [r for r in rows if r[0] == shot.slate]
    assert cells[9:] == (["the chicken"] if " on the chicken" in what else [])


@pytest.mark.parametrize(
    ("do", "add", "told"),
    [
        (
            "Add the leek, fry until soft, then add the cream and stir.", "leek, cream",
            ["leek", "Fry until soft.", "cream", "Add the cream and stir."],
        ),
        (
            "Fry the leek in the oil until soft, then stir in the cream.", "oil, leek, cream",
            ["oil", "leek", "Fry the leek in the oil until soft.", "cream", "Stir in the cream."],
        ),
        (
            "Add the leek and sweat it. Add the cream, simmer for a minute, then scatter the feta over.", "leek, cream, feta",
            ["leek", "Sweat it.", "cream", "Simmer for a minute.", "feta"],
        ),
        (
            "Add the leek, cover and fry until soft, then add the crumbs to the pan.", "leek, crumbs",
            ["leek", "Cover and fry until soft.", "crumbs"],  # that they go in is one picture
        ),
        (
            "Add the leek, fry it, then add the crumbs and fry for a minute.", "leek, crumbs",
            ["leek", "Fry it.", "crumbs", "Add the crumbs and fry for a minute."],
        ),
        ("Fry the leek, feta and crumbs.", "leek, feta, crumbs", None),  # a list
        ("Fry the leek while the cream goes in.", "leek, cream", None),
        ("Add the leek and the cream, then simmer until thick.", "leek, cream", None),
        ("Add the leek, stir well, then add the cream.", "leek, cream", None),  # nothing is cooked in between
    ],
)  # fmt: skip
def test_what_is_cooked_between_two_additions_stands_between_them(
    table: Table, do: str, add: str, told: list[str] | None
) -> None:
    step = f"do: '{do}', add: [{add}], vessel: pan, heat: medium, hands: 6 min, screen: %s"
    found = pictures(table, step % "24 s")
    names = add.split(", ")
    assert found == told if told else found[: len(names)] == names
    for screen in ("24 s", "11 s", "7 s", "3 s"):
        row = shots(table, step % screen)
        assert all(a.end_ms == b.start_ms for a, b in itertools.pairwise(row)) and all(s.planned_ms > 0 for s in row)
        plan = plan_of(table.dish(DISH % (step % screen)))
        segment = next(s for s in plan.segments if s.step and s.step.id == "top")
        assert [(a.number, first, last) for a, first, last in addition_windows(segment)] == [
            (s.additions[0].number, s.start_ms, s.end_ms) for s in row if s.additions
        ]


@pytest.mark.parametrize(
    ("do", "told"),
    [
        ("Add the leek, fry for 5 minutes, then add the crumbs.", ["leek*", "Fry for 5 minutes.", "(crumbs)"]),
        (
            "Add the leek, cover and sweat for 5 minutes until soft, then stir in the crumbs.",
            ["leek*", "Cover and sweat for 5 minutes until soft.", "(Show that it is done: soft)", "(crumbs)", "(Stir in the crumbs.)"],
        ),
        (
            "Fry the leek for 5 minutes, add the crumbs and fry for a minute.",
            ["leek*", "Fry the leek for 5 minutes.", "(crumbs)", "(Add the crumbs and fry for a minute.)"],
        ),
        ("Fry the leek, then add the crumbs and bake for 5 minutes.", ["leek", "Fry the leek.", "crumbs*", "Add the crumbs and bake for 5 minutes."]),
        ("Fry the leek until soft, add the crumbs and leave it for 5 minutes.", ["leek", "crumbs*"]),  # whose is the wait?
    ],
)  # fmt: skip
def test_what_goes_in_when_the_wait_is_over_is_filmed_then(table: Table, do: str, told: list[str]) -> None:
    step = f"do: '{do}', add: [leek, crumbs], vessel: pan, heat: medium, hands: 2 min, wait: 5 min, screen: 24 s"
    day = Production(table.read(DISH % step))
    data = dict(stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats))
    rows: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    begins = {r[0] for r in rows if len(r) > 8 and int(str(r[8])) & 2}
    found = []
    for s in (s for s in day.shots if s.step and s.step.id == "top"):
        name = (s.additions[0].ingredient.short_name if s.additions else s.what) + "*" * (s.slate in begins)
        found.append(f"({name})" if s.when_over else name)
    assert found[: len(told)] == told


def test_a_step_with_an_act_between_is_planned_with_the_time_for_it(table: Table) -> None:
    step = "do: '%s', add: [leek, cream], vessel: pan, heat: medium, hands: 6 min"
    plain, parted = (
        screen_ms(table.dish(DISH % (step % do)).steps[-1])
        for do in ("Fry the leek and the cream.", "Fry the leek, then stir in the cream.")
    )
    assert parted == plain + 3_000
