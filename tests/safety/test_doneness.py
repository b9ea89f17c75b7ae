"""Doneness: the cook's figure, the published minimum beside it, and when to take it off the heat."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.text_fitting import WIDEST
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.temperatures import fahrenheit_to_celsius
from scriptkit.measure.unit_system import US
from scriptkit.pack import make_pack
from scriptkit.problems import Severity
from scriptkit.production import read
from scriptkit.recipe.dish import Dish
from scriptkit.safety.doneness import Doneness, doneness_of
from scriptkit.safety.rule_matching import Caution, cautions_of, doneness_problems


def cooked(
    table: Table,
    core: str,
    *,
    food: str = "beef, rump steak",
    do: str = "Sear the steak.",
    prep: str = "",
    more: str = "",
    units: str = "",
) -> Dish:
    return table.dish(
        f'dish: D\n{f"units: {units}" if units else ""}\nservings: 2\ningredients: {{steak: {{amount: 400 g, food: "{food}", prep: "{prep}"}}}}\n'
        f"steps: [{{stage: cook, do: {do}, add: steak, core: {core}, screen: 40 s{more}}}]\n"
    )


def measured(dish: Dish) -> Caution:
    (caution,) = [c for c in cautions_of(dish) if c.rule.measured and c.rule.minimum_c is not None]
    return caution


# The rise is common practice, no source: 3 to 5 °C at ordinary thickness, less in a thin slice, more in a joint.
@pytest.mark.parametrize(
    ("core", "prep", "pull"),
    [
        ("54 °C", "", (49, 51)),
        ("54 °C", "30 mm thick", (49, 51)),
        ("54 °C", "8 mm thick", (52, 53)),
        ("54 °C", "120 mm thick", (46, 49)),
        ("129 °F", "", (49, 51)),
        ("70 °C", "", (65, 67)),
        ("66 °C", "", (63, 63)),  # never below the published minimum, which is read before it leaves the heat
        ("63 °C", "", None),
        ("64 °C", "", (63, 63)),
    ],
)
def test_when_it_is_taken_off_the_heat(table: Table, core: str, prep: str, pull: tuple[int, int] | None) -> None:
    done = measured(cooked(table, core, prep=prep)).doneness
    assert done is not None
    assert done.pull_c == pull


@pytest.mark.parametrize(
    ("food", "do", "pulls"),
    [
        ("beef, rump steak", "Roast it.", True),
        ("chicken, whole", "Roast it.", True),
        ("salmon", "Grill it.", True),
        ("beef, shin", "Braise it.", False),  # what lies in liquid goes on cooking in it
        ("cod", "Poach it.", False),
        ("beef mince, 15% fat", "Fry the burgers.", False),
        ("egg", "Bake the frittata.", False),
    ],
)
def test_what_is_pulled_and_rested(table: Table, food: str, do: str, pulls: bool) -> None:
    done = measured(cooked(table, "80 °C", food=food, do=do)).doneness
    assert done is not None
    assert (done.pull_c is not None) is pulls


def test_a_rare_steak_is_the_cooks_choice_with_the_minimum_beside_it(table: Table) -> None:
    dish = cooked(table, "52 °C")
    caution = measured(dish)
    assert caution.overlay == ("Steak: published minimum 63 °C (145 °F)",)
    assert caution.doneness is not None
    assert caution.doneness.line() == "Cook's choice 52 °C: off at 47–49 °C"
    assert caution.printed == (
        "Steak: at least 63 °C (145 °F) in the thickest part, then rest at least 3 minutes. This step takes it to 52 °C (126 °F), the "
        "cook's choice; 63 °C (145 °F) is published. For 52 °C take it off the heat at 47–49 °C: it rises 3–5 °C while it rests, more the thicker it is (common "
        "practice, no source)."
    )
    assert caution.spoken == (
        "Fifty-two degrees inside is my choice; the published minimum is sixty-three, one hundred and forty-five Fahrenheit. I take it "
        "off at forty-seven to forty-nine."
    )
    assert [(p.code, p.severity) for p in doneness_problems(cautions_of(dish))] == [("below-minimum", Severity.NOTE)]


def test_at_the_minimum_it_is_not_taken_off_before(table: Table) -> None:
    caution = measured(cooked(table, "63 °C"))
    assert caution.overlay == ()
    assert caution.doneness is not None
    assert caution.doneness.line() == "Inside: 63 °C (145 °F)"
    assert "Take it off the heat at 63 °C and not before" in caution.printed
    assert caution.spoken.startswith("Sixty-three degrees inside")


@pytest.mark.parametrize("core", ["71 °C", "160 °F"])
def test_above_the_minimum(table: Table, core: str) -> None:
    done = measured(cooked(table, core)).doneness
    assert done is not None
    assert done.line() == "Off at 66–68 °C, rests to 71 °C"
    assert not done.below
    assert measured(cooked(table, core)).spoken == (
        "I take it off at sixty-six to sixty-eight degrees inside, and it rests to seventy-one. "
        "The published minimum is sixty-three, one hundred and forty-five Fahrenheit."
    )


@pytest.mark.parametrize("degrees", range(150, 200, 5))
def test_a_temperature_in_fahrenheit_stays_what_was_written(degrees: int) -> None:
    """175 °F are 79.4 °C, and 79 °C would be 174 °F."""
    at = fahrenheit_to_celsius(degrees)
    done = Doneness(target_c=at, minimum_c=63, rest_min=None, pull_c=(66, 68), rise_c=(3, 5), units=US)
    assert done.line().endswith(f"rests to {degrees} °F ({round_half_up(at)} °C)")
    assert len(done.line()) <= WIDEST
    assert f"For {degrees} °F ({round_half_up(at)} °C)" in done.printed()


@pytest.mark.parametrize(
    ("core", "off"),
    [("175 °F", "166–170 °F"), ("160 °F", "151–155 °F"), ("150 °F", "145 °F"), ("130 °F", "121–125 °F")],
)
def test_in_fahrenheit_the_rise_and_what_it_is_taken_off_at_make_the_target(table: Table, core: str, off: str) -> None:
    """5–9 °F less than 160 °F are 151–155 °F, and never less than the published 145 °F where the target keeps it."""
    done = measured(cooked(table, core, units="us")).doneness
    assert done is not None
    assert f"off at {off}" in done.line().lower().replace("°f", "°F")
    assert f"For {core} (" in done.printed() and f"at {off} (" in done.printed() and "it rises 5–9 °F" in done.printed()


def test_the_papers_and_the_overlay_say_when_to_take_it_off(table: Table) -> None:
    cooked(table, "54 °C")
    files = make_pack(read(str(table.folder / "dish.yaml"))).files
    assert "Cook&#39;s choice 54 °C: off at 49–51 °C" in files["shoot-list.html"]
    assert "take it off the heat at 49–51 °C" in files["index.html"]
    assert "I take it off at forty-nine to fifty-one." in files["script.html"]
    assert "Cook's choice 54 °C: off at 49–51 °C" in files["files/overlays.srt"]
    assert "Steak: published minimum 63 °C (145 °F)" in files["files/overlays.srt"]


def test_a_step_that_states_no_temperature_has_none(table: Table) -> None:
    dish = table.dish(
        'dish: D\nservings: 1\ningredients: {steak: {amount: 200 g, food: "beef, rump steak"}}\nsteps: [{stage: cook, do: Sear it., add: steak}]'
    )
    assert measured(dish).doneness is None
    assert doneness_of(dish.steps[0], dish.ingredients, 63) is None


@pytest.mark.parametrize(("core", "told"), [("", True), (", core: 54 °C", False)])
def test_minutes_a_side_ask_for_a_temperature(table: Table, core: str, told: bool) -> None:
    dish = table.dish(
        'dish: D\nservings: 1\ningredients: {steak: {amount: 200 g, food: "beef, rump steak"}}\n'
        f"steps: [{{stage: cook, do: Sear it for 2 min a side., add: steak{core}}}]"
    )
    assert ("minutes-a-side" in [p.code for p in doneness_problems(cautions_of(dish))]) is told
    assert any(c.rule.id == "minutes-a-side" and "a guide only" in c.printed for c in cautions_of(dish))


@settings(max_examples=60)
@given(st.floats(40, 95), st.sampled_from([63.0, 71.0, 74.0]), st.sampled_from([(1, 2), (3, 5), (5, 8)]), st.booleans())
def test_every_line_fits_and_no_target_that_keeps_the_minimum_is_undercut(
    target: float, minimum: float, rise: tuple[int, int], rests: bool
) -> None:
    from types import SimpleNamespace as Some

    mm = {(1, 2): 10.0, (3, 5): 30.0, (5, 8): 90.0}[rise]
    step = Some(core_c=target, units="", reading=Some(method="roast" if rests else "simmer"))
    done = doneness_of(step, [Some(mm=mm, food=Some(safety="whole-cut"))], minimum)  # type: ignore[arg-type, list-item]
    assert isinstance(done, Doneness)
    assert len(done.line()) <= WIDEST
    assert (done.pull_c is None) or rests
    if done.pull_c:
        low, high = done.pull_c
        assert low <= high < target + 0.5
        assert done.below or low >= minimum - 0.5
        assert not done.below or (round(target) - low, round(target) - high) in {
            (rise[1], rise[0]),
            (rise[1] + 1, rise[0] + 1),
            (rise[1] - 1, rise[0] - 1),
        }
