"""Cuts put together from scenes: steps that are left out, shown twice, or replaced by one that was made before the film."""

from __future__ import annotations

from pathlib import Path

import pytest
from arranged import as_subrip
from loose_talks import Scene, cut_of, scene, written, wrongly_placed

from scriptkit.cut.placing.left_out import HowHeard, left_out
from scriptkit.cut.placing.place_steps import place
from scriptkit.production import read
from scriptkit.recipe.dish import Dish, Meal

CHOPS = ("marinate", "pickle", "wipe", "sear", "rest", "sauce", "plate")
CRUMBLE = ("rub", "mix", "peel", "stew", "fill", "bake", "whip", "serve")
WAYS = {
    "chops alone": ("chops", CHOPS),
    "crumble alone": ("crumble", CRUMBLE),
    "chops then crumble": ("meal", CHOPS + CRUMBLE),
    "crumble then chops": ("meal", CRUMBLE + CHOPS),
    "crumble inside the chops": ("meal", CHOPS[:2] + CRUMBLE[:6] + CHOPS[2:] + CRUMBLE[6:]),
    "interleaved": (
        "meal",
        ("rub", "mix", "marinate", "peel", "pickle", "stew", "fill", "bake", *CHOPS[2:], "whip", "serve"),
    ),
}
TWINS = (
    ("marinate", "And here is a bowl of lamb that I marinated last night, so it has had all the yoghurt and garlic and cumin it wants."),
    ("marinate", "I have one in the fridge that we made yesterday, lamb in yoghurt with garlic, look at that."),
    ("bake", "And here is a crumble that I baked this morning, golden, with the juice bubbling at the edges."),
    ("bake", "This is one we made earlier, out of a hot oven, baked until golden."),
    ("stew", "Here are some apples I stewed earlier with the sugar and the cinnamon, soft but not mush."),
    ("stew", "I have already got a pot of apples that I cooked with sugar and cinnamon before you came."),
    ("rest", "And these are chops that I seared earlier, they have rested under the foil on a warm tray."),
    ("rub", "And this is a bowl I made earlier, butter and flour, rubbed until it looks like breadcrumbs."),
)  # fmt: skip
HELLO, BYE = scene("hello"), scene("bye")


@pytest.fixture(scope="module")
def dishes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Dish | Meal]:
    chops, crumble, meal = written(tmp_path_factory.mktemp("scenes"))
    return {"chops": chops, "crumble": crumble, "meal": meal}


def check(source: Dish | Meal, *scenes: Scene) -> list[str]:
    """Every step that is on screen stands in one of its scenes, and no other has a time; what is told, by its code and step."""
    talk, seen = cut_of([HELLO, *scenes, BYE])
    cut = place(source, talk)
    assert wrongly_placed(cut, seen) == {}
    return [p.code for p in cut.problems]


def way(name: str, dishes: dict[str, Dish | Meal]) -> tuple[Dish | Meal, list[Scene], tuple[str, ...]]:
    of, steps = WAYS[name]
    return dishes[of], [scene(s) for s in steps], steps


@pytest.mark.parametrize("name", WAYS)
def test_every_step_is_found_and_nothing_is_told(dishes: dict[str, Dish | Meal], name: str) -> None:
    source, scenes, _ = way(name, dishes)
    assert check(source, *scenes) == []


@pytest.mark.parametrize("name", WAYS)
def test_a_step_that_is_left_out_has_no_time_and_moves_no_other(dishes: dict[str, Dish | Meal], name: str) -> None:
    source, scenes, steps = way(name, dishes)
    for n in range(len(steps)):
        assert check(source, *scenes[:n], *scenes[n + 1 :]) == ["not-placed"], steps[n]


@pytest.mark.parametrize(
    "words",
    [
        "Five minutes now, hands off.",
        "Then nobody touches them for five minutes.",
        "And now we wait, about five minutes, I know it is hard.",
    ],
)
@pytest.mark.parametrize("name", [name for name in WAYS if "chops" in name])
def test_a_rest_of_which_only_its_time_is_said_is_not_left_out(
    dishes: dict[str, Dish | Meal], name: str, words: str
) -> None:
    source, scenes, steps = way(name, dishes)
    assert (
        check(source, *[Scene("rest", words) if s == "rest" else one for s, one in zip(steps, scenes, strict=True)])
        == []
    )


@pytest.mark.parametrize("name", WAYS)
def test_a_step_that_is_shown_again_stands_in_one_of_its_scenes(dishes: dict[str, Dish | Meal], name: str) -> None:
    """Two scenes later, and as a memory at the end."""
    source, scenes, steps = way(name, dishes)
    for n in range(len(steps)):
        assert check(source, *scenes[: n + 2], scenes[n], *scenes[n + 2 :]) == [], steps[n]
        assert check(source, *scenes, scenes[n]) == [], steps[n]


@pytest.mark.parametrize("name", WAYS)
def test_one_made_earlier_is_not_the_step(dishes: dict[str, Dish | Meal], name: str) -> None:
    source, scenes, steps = way(name, dishes)
    for step, words in TWINS:
        if step not in steps:
            continue
        n, twin = steps.index(step), Scene("", words)
        assert check(source, twin, *scenes) == [], words
        assert check(source, *scenes[: n + 1], twin, *scenes[n + 1 :]) == [], words
        assert check(source, *scenes, twin) == [], words
        assert check(source, *scenes[:n], twin, *scenes[n + 1 :]) == ["not-placed"], words


def test_what_is_left_out_has_no_chapter_and_no_caption_and_is_told(tmp_path: Path) -> None:
    written(tmp_path)
    steps = [s for s in CHOPS + CRUMBLE if s != "pickle"]
    for left, file in (("", "whole.srt"), ("pickle", "without.srt")):
        scenes = [scene(s) for s in CHOPS + CRUMBLE if s != left]
        (tmp_path / file).write_text(as_subrip(cut_of([HELLO, *scenes, BYE])[0]), encoding="utf-8")
    whole, without = (read(str(tmp_path / "meal.yaml"), cut=str(tmp_path / f)) for f in ("whole.srt", "without.srt"))
    assert whole.cut is not None and without.cut is not None

    def shown(production: object) -> str:
        return " ".join(" ".join(c.lines) for c in production.cues).casefold()  # type: ignore[attr-defined]

    assert "red onion" in shown(whole) and "red onion" not in shown(without)
    assert {p.step.id for p in without.cut.placements if p.time_ms is not None} == set(steps)
    numbers = {key for c in without.chapters.chapters for key in c.step_numbers}
    pickle = next(p for p in without.cut.placements if p.step.id == "pickle")
    assert (pickle.dish.file, pickle.step.number) not in numbers
    assert any("(pickle)" in p.message for p in without.timing_problems)


def heard(log: float, words: float) -> HowHeard:
    return HowHeard(log=log, words=words, anywhere=0.5, lasts_ms=20_000, planned_ms=None)


@pytest.mark.parametrize(("others", "one", "gone"), [
    (heard(7, 0.7), heard(1, 0.1), True),
    (heard(7, 0.7), heard(1, 0.5), False),  # its words are said there
    (heard(7, 0.7), heard(3, 0.1), False),  # much else speaks for it
    (heard(3, 0.5), heard(0, 0.1), False),  # the others are no better heard
    (heard(3, 0.9), heard(1, 0.1), True),
])  # fmt: skip
def test_a_step_is_left_out_where_the_others_are_much_better_heard(others: HowHeard, one: HowHeard, gone: bool) -> None:
    assert left_out([others, others, one, others], additions_known=False) == (frozenset({2}) if gone else frozenset())
    assert left_out([one], additions_known=False) == frozenset()


def test_where_it_is_known_what_goes_in_less_must_be_heard_of_the_others() -> None:
    others, one = heard(3, 0.6), heard(0.5, 0.0)
    for known in (False, True):
        assert left_out([others, one, others], additions_known=known) == (frozenset({1}) if known else frozenset())
