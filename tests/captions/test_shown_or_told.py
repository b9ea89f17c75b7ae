"""Whatever way a cut is given, every wish of the overlay is shown, or it is told that it is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.overlay import short_addition_line
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.measure.durations import format_duration
from scriptkit.nutrition.display_figures import printed_plate, printed_serving
from scriptkit.production import Production, read
from scriptkit.shoot.plan import LONG_WAIT_MS

MEAL = str(EXAMPLES / "harbour-supper.yaml")
NOT_THERE = frozenset({"step-not-placed", "not-placed", "out-of-order"})


def neither(production: Production) -> list[str]:
    """The wishes that are neither shown nor told."""
    shown = " ".join(" ".join(cue.lines) for cue in production.cues).casefold().replace(" ,", ",")
    problems = production.timing_problems
    told = " ".join(p.message for p in problems).casefold()
    lost_steps = {p.place for p in problems if p.code in NOT_THERE}
    lost_cards = {p.place for p in problems if p.code == "card-no-time"}

    def missing(text: str) -> bool:
        return text.casefold() not in shown and text.casefold() not in told

    found = []
    for dish in production.dishes:
        for step in dish.steps:
            if step.place in lost_steps:
                continue
            wishes = [short_addition_line(a) for a in step.additions]
            wishes += [line for c in production.cautions if c.step is step for line in c.overlay]
            if step.wait_ms and step.wait_ms >= LONG_WAIT_MS:
                wishes.append(format_duration(step.wait_ms))
            found += [f"{step.id}: {text}" for text in wishes if missing(text)]
    meal = production.macros.meal
    for of in production.macros.dishes:
        figures = printed_serving(of, meal)
        if of.dish.place not in lost_cards:
            found += [
                t
                for t in (f"{figures.text('energy_kcal')} kcal", f"protein {figures.text('protein_g')} g")
                if missing(t)
            ]
    if meal is not None and production.source.place not in lost_cards:
        figures = printed_plate(meal).whole
        found += [
            t
            for t in (f"{figures.text('energy_kcal')} kcal", f"net {figures.text('net_carbs_g')} g")
            if missing(t.replace("net ", ""))
        ]
    return found


@pytest.mark.parametrize("file", ["harbour-supper-cut.srt", "harbour-supper-rough-cut.srt"])
def test_of_a_transcript(file: str) -> None:
    assert neither(read(MEAL, cut=str(EXAMPLES / file))) == []


def test_of_the_plan() -> None:
    assert neither(read(MEAL)) == []


def test_of_half_a_transcript(tmp_path: Path) -> None:
    cues = (EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8").split("\n\n")
    path = tmp_path / "half.srt"
    for count in (8, 12, 20, 30, 45):
        path.write_text("\n\n".join(cues[:count]), encoding="utf-8")
        assert neither(read(MEAL, cut=str(path))) == [], count


IDS = (
    "dice-celeriac", "slice-fennel", "chop-chives", "dry-hake", "chop-parsley", "soften-fennel", "simmer", "blend", "finish",
    "plate-bisque", "sear-hake", "turn-hake", "brown-butter", "plate-hake",
)  # fmt: skip
TIMES = st.dictionaries(st.sampled_from(IDS), st.integers(0, 400), min_size=1, max_size=14)


@given(times=TIMES, length=st.sampled_from([0, 401, 430]), markers=st.booleans())
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_of_a_cut_file_or_markers_at_any_times(
    times: dict[str, int], length: int, markers: bool, tmp_path: Path
) -> None:
    """Steps left out, in any order, on top of one another, up to the last picture."""
    if markers:
        path = tmp_path / "markers.csv"
        path.write_text(
            "step,time\n" + "".join(f"{s},{clock_text(t * 1000)}\n" for s, t in times.items()), encoding="utf-8"
        )
    else:
        path = tmp_path / "cut.yaml"
        head = "cut: Harbour supper\n" + (f"length: {clock_text(length * 1000)}\n" if length else "")
        rows = "".join(f"  - {{step: {s}, time: '{clock_text(t * 1000)}', by: hand}}\n" for s, t in times.items())
        path.write_text(f"{head}steps:\n{rows}", encoding="utf-8")
    production = read(MEAL, cut=str(path))
    assert neither(production) == []


@given(step=st.sampled_from(IDS), second=st.integers(5, 255))
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_of_a_transcript_with_a_step_set_by_hand(step: str, second: int, tmp_path: Path) -> None:
    path = tmp_path / "cut.yaml"
    path.write_text(
        f"cut: Harbour supper\nsteps:\n  - {{step: {step}, time: '{clock_text(second * 1000)}', by: hand}}\n",
        encoding="utf-8",
    )
    transcript = str(EXAMPLES / "harbour-supper-cut.srt")
    assert neither(read(MEAL, cut=str(path), transcript=transcript)) == []


def test_an_addition_stands_at_its_word() -> None:
    """Not earlier than 1.5 s before it, nor later than 2 s after it, in the example's cut, where there is room for all but one."""
    production = read(MEAL, cut=str(EXAMPLES / "harbour-supper-cut.srt"))
    clock = production.word_clock
    assert clock is not None and len(clock.additions) == 17
    off = []
    for dish in production.dishes:
        for step in dish.steps:
            for a in step.additions:
                text = short_addition_line(a).casefold()
                cues = [c for c in production.cues if text in " ".join(c.lines).casefold()]
                off.append(min((c.start_ms - clock.additions[a.place] for c in cues), key=abs))
    assert min(off) >= -1_500
    assert max(off) <= 2_000
    starts = {" ".join(c.lines): c.start_ms for c in production.cues}
    plate = next(ms for text, ms in starts.items() if text.startswith("Plate 485 g"))
    assert abs(plate - clock.figures[""]) <= 2_000
    assert starts["Dry it; extractor on; lid beside you"] < clock.additions[_oil(production)]


def _oil(production: Production) -> object:
    return next(a.place for d in production.dishes for a in d.additions if a.ingredient.name == "olive oil")
