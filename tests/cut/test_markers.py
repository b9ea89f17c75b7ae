"""Markers of an editor, as CSV in the forms that editors write, and as OpenTimelineIO."""

from __future__ import annotations

import sys
from typing import Any

import pytest
from conftest import EXAMPLES, absent

from scriptkit.cut.markers import read_markers, read_timeline
from scriptkit.cut.placement import MARKER, Cut
from scriptkit.cut.source import cut_of
from scriptkit.problems import CannotDo
from scriptkit.recipe.reader import read_source

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()  # 25 frames a second


def of(text: str) -> Cut:
    return read_markers(text.encode("utf-8"), "markers.csv", SUPPER)


def times(cut: Cut) -> dict[str, int]:
    return {p.step.id: p.time_ms for p in cut.placements if p.time_ms is not None}


@pytest.mark.parametrize(
    "text",
    [
        "step,time\nblend,1:45.5\nfinish,2:00\n",
        "Name;Start\nblend;105,5\nfinish;120\n",
        "Marker Name\tTimecode\tComment\nblend\t00:01:45:12.5\t\nfinish\t00:02:00:00\t\n".replace(":12.5", ":12"),
        "#,Name,In,Out\n1,Blend,00:01:45.500,\n2,Finish,00:02:00.000,\n",
        "1:45.5,blend\n2:00,finish\n",
        '"Position","Notes"\n"105.5 s","Blend the soup in batches until it is completely smooth."\n"120 s","finish"\n',
        "dish,step,time\nbisque,6,1:45.5\nbisque,7,2:00\n",
        "name,time\nbisque: blend,1:45.5\nBisque: step 7,2:00\n",
    ],
    ids=["plain", "semicolons", "time code", "with fractions", "no header", "sentences", "numbers", "dish and step"],
)
def test_lists_as_editors_write_them(text: str) -> None:
    found = times(of(text))
    assert found["finish"] == 120_000
    assert found["blend"] in (105_500, 105_480)  # frame 12 of 25 is 0.48 s
    assert set(found) == {"blend", "finish"}


def test_they_are_exact_and_known_from_markers() -> None:
    cut = of("step,time\nblend,1:45.5\n")
    blend = next(p for p in cut.placements if p.step.id == "blend")
    assert (blend.known_from, blend.confidence) == (MARKER, 1.0)
    assert len(cut.placements) == 14


def test_time_code_is_read_at_the_films_rate() -> None:
    assert times(of("name,time code\nblend,00:00:10:24\n"))["blend"] == 10_960
    with pytest.raises(CannotDo) as refused:
        of("name,time code\nblend,00:00:10:25\n")
    assert "bad-timecode" in [p.code for p in refused.value.problems]


def test_a_timeline_that_starts_at_an_hour_is_taken_from_there() -> None:
    cut = of("name,time code\nblend,10:01:45:00\nfinish,10:02:00:00\n")
    assert times(cut) == {"blend": 105_000, "finish": 120_000}
    assert [p.code for p in cut.problems] == ["starts-later"]


def test_other_markers_are_noted_and_near_names_are_asked_about() -> None:
    cut = of("name,time\nmusic in,0:00\nblend,1:45\nfinnish,2:00\nblend,1:50\n")
    assert times(cut) == {"blend": 105_000}
    assert [(p.place.line, p.code, p.severity) for p in cut.problems] == [
        (2, "unknown-step", "note"), (4, "unknown-step", "warning"), (5, "twice", "warning"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "code"),
    [("", "empty-file"), ("name,time\nmusic,0:10\n", "no-markers"), ("one,two\nblend,soon\n", "no-times")],
)
def test_lists_that_are_of_no_use(text: str, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        of(text)
    assert code in [p.code for p in refused.value.problems]
    assert all(p.hint for p in refused.value.problems)


# --- OpenTimelineIO ---------------------------------------------------------------------------------------------------


def timeline() -> Any:
    """Two clips of 10 s: a marker on the second clip, one on the track, one on the whole."""
    otio = (
        pytest.importorskip("opentimelineio") if "CI" not in __import__("os").environ else __import__("opentimelineio")
    )
    from opentimelineio.opentime import RationalTime, TimeRange
    from opentimelineio.schema import Clip, Marker, Timeline, Track

    def span(start: float, seconds: float) -> Any:
        return TimeRange(RationalTime(start * 25, 25), RationalTime(seconds * 25, 25))

    made = Timeline(name="supper")
    track = Track(name="V1", kind="Video")
    track.append(Clip(name="one", source_range=span(0, 10)))
    second = Clip(name="two", source_range=span(100, 10))
    second.markers.append(Marker(name="blend", marked_range=span(103, 0)))  # 3 s into it: 13 s
    track.append(second)
    track.markers.append(Marker(name="finish", marked_range=span(15, 0)))
    made.tracks.append(track)
    made.tracks.markers.append(Marker(name="plate-bisque", marked_range=span(18.5, 0)))
    return otio.adapters.write_to_string(made, "otio_json")


def test_markers_of_a_timeline_are_taken_to_the_time_of_the_cut() -> None:
    try:
        text = timeline()
    except ImportError:
        absent("OpenTimelineIO")
    assert times(read_timeline(text, "cut.otio", SUPPER)) == {"blend": 13_000, "finish": 15_000, "plate-bisque": 18_500}


def test_a_broken_timeline_and_a_missing_library_are_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    try:
        import opentimelineio  # noqa: F401
    except ImportError:
        absent("OpenTimelineIO")
    with pytest.raises(CannotDo) as refused:
        read_timeline('{"OTIO_SCHEMA": "Timeline.1", "tracks": 3', "cut.otio", SUPPER)
    assert refused.value.problems[0].code == "bad-timeline"
    monkeypatch.setitem(sys.modules, "opentimelineio", None)
    with pytest.raises(CannotDo) as refused:
        read_timeline("{}", "cut.otio", SUPPER)
    assert refused.value.problems[0].code == "no-otio"
    assert "scriptkit[otio]" in refused.value.problems[0].hint


# --- told apart by what is in the file --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "by"),
    [
        ("cut: Harbour supper\nsteps:\n  - {step: blend, time: 1:45, by: hand}\n", "hand"),
        ("step,time\nblend,1:45\n", "marker"),
        ((EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8"), "transcript"),
    ],
    ids=["cut file", "markers", "transcript"],
)
def test_a_cut_is_told_by_what_is_in_its_file_and_not_by_its_name(text: str, by: str, table: Any) -> None:
    cut = cut_of(SUPPER, table.write("any.txt", text))
    blend = next(p for p in cut.placements if p.step.id == "blend")
    assert (blend.known_from, blend.time_ms is not None) == (by, True)


def test_a_timeline_is_told_by_what_is_in_its_file(table: Any) -> None:
    assert times(cut_of(SUPPER, table.write("any.txt", timeline())))["blend"] == 13_000


def test_files_that_are_not_there_or_are_folders(table: Any) -> None:
    for path, code in ((str(table.folder / "none.srt"), "no-such-file"), (str(table.folder), "folder")):
        with pytest.raises(CannotDo) as refused:
            cut_of(SUPPER, path)
        assert refused.value.problems[0].code == code
