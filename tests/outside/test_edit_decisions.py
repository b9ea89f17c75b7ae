"""The decision lists, read back by OpenTimelineIO: the same clips, from the same frame to the same frame."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.timecode import RATES, FrameRate
from scriptkit.problems import Place
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.paper_edit import EditEvent, decision_lists, paper_edit
from scriptkit.shoot.log.take_log import Take, label
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of

SHOTS = shots_of(plan_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()))
EDL_RATES = ["23.976", "24", "25", "29.97", "29.97 drop", "30", "50", "59.94", "60"]


@pytest.fixture(scope="module")
def otio() -> Any:
    """OpenTimelineIO with its reader of CMX 3600; without it, skipped at a desk and failed in CI."""
    try:
        import opentimelineio

        if "cmx_3600" in opentimelineio.adapters.available_adapter_names():
            return opentimelineio
        why = "otio-cmx3600-adapter is not installed"
    except ImportError:
        why = "OpenTimelineIO is not installed"
    if os.environ.get("CI"):
        pytest.fail(f"{why}, and this must not be skipped in CI")
    pytest.skip(why)


def take(n: int, start: int, length: int, name: str = "") -> Take:
    shot = SHOTS[n % len(SHOTS)]
    return Take(
        shot=shot, number=1, additions=shot.additions, verdict="circled", card="A001", clip=name or f"C{n:04d}",
        in_frame=start, out_frame=start + length, remark="steam", place=Place("takes.csv", n + 2),
    )  # fmt: skip


def clips(timeline: Any) -> list[tuple[str, int, int]]:
    """Name, first frame and length of each clip."""
    found = []
    for clip in timeline.find_clips():
        span = clip.source_range
        found.append((clip.name, round(span.start_time.value), round(span.duration.value)))
    return found


def placed(cuts: tuple[EditEvent, ...]) -> list[tuple[str, int, int]]:
    return [(c.take.clip, c.take.in_frame or 0, c.take.frames) for c in cuts if c.take and c.placed]


@settings(max_examples=60, deadline=None)
@given(
    logged=st.lists(st.tuples(st.integers(0, 23 * 3600 * 24), st.integers(1, 5000)), min_size=1, max_size=len(SHOTS)),
    name=st.sampled_from(list(RATES)),
)
def test_the_timeline_is_read_back_with_its_names_and_ranges(
    otio: Any, logged: list[tuple[int, int]], name: str
) -> None:
    cuts = paper_edit(SHOTS, [take(n, start, length) for n, (start, length) in enumerate(logged)])
    read = otio.adapters.read_from_string(decision_lists(cuts, "Supper", RATES[name])["otio"], "otio_json")
    assert clips(read) == placed(cuts)
    rates = [c.source_range.start_time.rate for c in read.find_clips()]
    assert rates == pytest.approx([float(RATES[name].exact)] * len(rates))
    holes = [c for c in cuts if c.take is None and not c.instead]
    assert len(read.tracks[0].find_children(descended_from_type=otio.schema.Gap)) == len(holes)


@pytest.mark.parametrize("name", EDL_RATES)
def test_the_cmx_3600_list_is_read_back_with_its_names_and_ranges(otio: Any, name: str) -> None:
    rate: FrameRate = RATES[name]
    hour = 3600 * rate.nominal
    logged = [take(n, 10 * hour + n * 997, 100 + 13 * n) for n in range(len(SHOTS)) if n % 5 != 3]
    cuts = paper_edit(SHOTS, logged)
    text = decision_lists(cuts, "Supper", rate)["edl"]
    read = otio.adapters.read_from_string(text, "cmx_3600", rate=float(rate.exact) if rate.dropped else rate.nominal)
    assert clips(read) == placed(cuts)
    # An editing program finds the take by its label, which must be the camera's.
    events = [line.split()[4:6] for line in text.splitlines() if line[:3].isdigit()]
    assert events == [[label(t.in_frame or 0, rate), label(t.out_frame or 0, rate)] for t in logged]
    assert text.splitlines()[1] == ("FCM: DROP FRAME" if rate.dropped else "FCM: NON-DROP FRAME")


def test_names_that_a_list_of_lines_could_break(otio: Any) -> None:
    names = ["C 1", "* FROM CLIP NAME: x", 'a<b>&"c"', "½ café", "x" * 60]
    cuts = paper_edit(SHOTS, [take(n, 1000 * n, 50, name) for n, name in enumerate(names)])
    lists = decision_lists(cuts, "TITLE: 001  AX V C", RATES["25"])
    assert clips(otio.adapters.read_from_string(lists["otio"], "otio_json")) == placed(cuts)
    read = otio.adapters.read_from_string(lists["edl"], "cmx_3600", rate=25)
    assert [c[1:] for c in clips(read)] == [c[1:] for c in placed(cuts)]


def test_a_log_without_ranges_makes_a_list_of_holes(otio: Any, tmp_path: Path) -> None:
    lists = decision_lists(paper_edit(SHOTS, []), "Supper", RATES["25"])
    assert list(lists) == ["otio"]
    path = tmp_path / "holes.otio"
    path.write_text(lists["otio"], encoding="utf-8")
    read = otio.adapters.read_from_file(str(path))
    assert clips(read) == []
    assert round(read.duration().value) == pytest.approx(sum(s.planned_ms for s in SHOTS) / 40, abs=len(SHOTS))
