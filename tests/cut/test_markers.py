"""Markers of an editor, as CSV in the forms that editors write, and as OpenTimelineIO."""

from __future__ import annotations

import json
from typing import Any

import pytest
from conftest import EXAMPLES

from scriptkit.cut.cut_reader import cut_of
from scriptkit.cut.markers import read_markers, read_timeline
from scriptkit.cut.placement import MARKER, Cut
from scriptkit.json_depth import deepest
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


def span(start: float, seconds: float, rate: float = 25) -> dict[str, Any]:
    begin, length = ({"OTIO_SCHEMA": "RationalTime.1", "rate": rate, "value": t * rate} for t in (start, seconds))
    return {"OTIO_SCHEMA": "TimeRange.1", "start_time": begin, "duration": length}


def marker(name: str, at: float, **more: Any) -> dict[str, Any]:
    return {"OTIO_SCHEMA": "Marker.2", "name": name, "marked_range": span(at, 0)} | more


def item(schema: str, *children: Any, markers: Any = (), **more: Any) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": schema,
        "name": "",
        "source_range": None,
        "markers": list(markers),
        "children": list(children),
    } | more


def timeline(*tracks: Any, markers: Any = ()) -> str:
    stack = item("Stack.1", *tracks, markers=markers)
    return json.dumps({"OTIO_SCHEMA": "Timeline.1", "name": "supper", "tracks": stack})


def test_markers_of_a_timeline_are_taken_to_the_time_of_the_cut() -> None:
    """On a clip of 10 s that begins at 100 s of its own time and 10 s of the cut; on its track; on the whole."""
    clips = [
        item("Clip.2", source_range=span(0, 10)),
        item("Clip.2", source_range=span(100, 10), markers=[marker("blend", 103)]),
    ]
    text = timeline(item("Track.1", *clips, markers=[marker("finish", 15)]), markers=[marker("plate-bisque", 18.5)])
    assert times(read_timeline(text, "cut.otio", SUPPER)) == {"blend": 13_000, "finish": 15_000, "plate-bisque": 18_500}


def test_what_lies_in_what_and_how_long_it_is() -> None:
    """A stack in a track is as long as its longest track; a transition lies over its neighbours; a clip that is shown whole is as
    long as its medium, and begins where that does."""
    media = {"OTIO_SCHEMA": "ExternalReference.1", "available_range": span(3600, 8, rate=24)}
    whole = item("Clip.2", media_references={"DEFAULT_MEDIA": media, "proxy": {}}, markers=[marker("blend", 3602)])
    older = item("Clip.1", media_reference=media, markers=[marker("finish", 3601)])
    fade = {
        "OTIO_SCHEMA": "Transition.1",
        "in_offset": span(1, 1)["start_time"],
        "out_offset": span(1, 1)["start_time"],
    }
    nested = item("Stack.1", item("Track.1", whole), item("Track.1", item("Gap.1", source_range=span(0, 9))))
    text = timeline(item("Track.1", nested, fade, item("Gap.1", source_range=span(0, 2)), older))
    assert times(read_timeline(text, "cut.otio", SUPPER)) == {"blend": 2_000, "finish": 12_000}


def test_a_step_is_named_by_the_comment_of_a_marker_too_and_a_collection_holds_a_timeline() -> None:
    inside = timeline(
        item("Track.1", item("Gap.1", source_range=span(0, 60)), markers=[marker("Red one", 12, comment="blend")])
    )
    text = json.dumps({"OTIO_SCHEMA": "SerializableCollection.1", "children": [json.loads(inside)]})
    assert times(read_timeline(text, "cut.otio", SUPPER)) == {"blend": 12_000}


@pytest.mark.parametrize(
    "inside",
    [
        '"metadata": ' + "[" * 100_000 + "]" * 100_000,
        '"metadata": ' + '{"a":' * 50_000 + "1" + "}" * 50_000,
        '"name": "' + '\\"' * 100_000 + '", "metadata": ' + "[" * 100_000,
        '"name": "never closed \\' + '"\\' * 100_000,
    ],
    ids=["lists", "groups", "after a name", "unclosed"],
)
def test_a_timeline_as_deep_as_a_well_ends_with_a_message_and_not_the_program(inside: str) -> None:
    with pytest.raises(CannotDo) as refused:
        read_timeline('{"OTIO_SCHEMA": "Timeline.1", ' + inside + "}", "cut.otio", SUPPER)
    assert refused.value.problems[0].code == "bad-timeline"


def test_brackets_in_a_name_are_no_brackets() -> None:
    assert deepest('{"name": "' + "[{" * 1000 + '\\"[["}') == 1
    assert deepest('{"name": [[]]}') == 3


NO_TIME = {"OTIO_SCHEMA": "RationalTime.1", "rate": 0, "value": 1}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"OTIO_SCHEMA": "Timeline.1", "tracks": 3', "it is not whole: this is not JSON (line 1, column 42)"),
        ('{"OTIO_SCHEMA": "Timeline.1", "tracks": 3}', "“tracks” is missing, or is not a group of keys"),
        ('{"OTIO_SCHEMA": "Clip.2"}', "there is no timeline in it"),
        ("[]", "there is no timeline in it"),
        (timeline(item("Track.1", item("Clip.2", name="one"), item("Clip.2", name="two"))), "nothing says how long the clip “one” is"),
        (timeline(markers=[{"OTIO_SCHEMA": "Marker.2", "name": "blend"}]), "“marked_range” is missing, or is not a group of keys"),
        (timeline(markers=[marker("blend", 1) | {"marked_range": {"start_time": NO_TIME}}]), "a time in it has no value or no rate"),
        (timeline(markers=[marker("blend", float("nan"))]), "a time in it has no value or no rate"),
        (timeline(markers=[marker("blend", 1e300)]), "a time in it has no value or no rate"),
        (timeline(markers=[marker("blend", 1) | {"marked_range": {"start_time": {"rate": 25, "value": 10**400}}}]), "a time in it has no value or no rate"),
    ],
)  # fmt: skip
def test_a_broken_timeline_is_told(text: str, said: str) -> None:
    with pytest.raises(CannotDo) as refused:
        read_timeline(text, "cut.otio", SUPPER)
    assert [(p.code, p.message) for p in refused.value.problems] == [
        ("bad-timeline", f"the timeline cannot be read: {said}")
    ]


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
    text = timeline(markers=[marker("blend", 13)])
    assert times(cut_of(SUPPER, table.write("any.txt", text)))["blend"] == 13_000


def test_files_that_are_not_there_or_are_folders(table: Any) -> None:
    for path, code in ((str(table.folder / "none.srt"), "no-such-file"), (str(table.folder), "folder")):
        with pytest.raises(CannotDo) as refused:
            cut_of(SUPPER, path)
        assert refused.value.problems[0].code == code


def test_a_take_log_is_no_list_of_markers() -> None:
    """Its takes have times of the day, and several a step."""
    with pytest.raises(CannotDo) as refused:
        cut_of(SUPPER, str(EXAMPLES / "harbour-supper-takes.csv"))
    (problem,) = refused.value.problems
    assert (problem.code, problem.message) == ("not-a-cut", "this is a take log, not a cut")
    assert "--log" in problem.hint
