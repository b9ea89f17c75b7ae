"""Takes and the camera's clips: by name, by time of day, with clocks apart, over midnight, with several cards and cameras."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from conftest import EXAMPLES
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.clip_files import clip_in
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo, Place
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.camera_clips import DAY_MS, CameraClip, clip_counters
from scriptkit.shoot.log.clip_matching import BY_NAME, BY_TIME, ClipMatch, match_clips
from scriptkit.shoot.log.clip_problems import clip_problems
from scriptkit.shoot.log.clip_shifts import clip_shifts
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of

P25 = RATES["25"]
SHOTS = shots_of(plan_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()))
HOUR, MINUTE, SECOND = 3_600_000, 60_000, 1_000


def day(seed: int, count: int, first_ms: int = 10 * HOUR) -> list[tuple[int, int]]:
    """When takes ran, as a kitchen runs them: 8 to 60 s each, 20 s to 6 min between them."""
    luck = random.Random(seed)
    found, at = [], first_ms
    for _ in range(count):
        length = luck.randint(8, 60) * SECOND
        found.append((at, length))
        at += length + luck.randint(20, 360) * SECOND
    return found


def take(n: int, at_ms: int, length_ms: int, clip: str = "", **more: str) -> Take:
    shot = SHOTS[n % len(SHOTS)]
    return Take(
        shot=shot, number=n, additions=shot.additions, verdict=more.pop("verdict", "circled"), clip=clip, card=more.pop("card", ""),
        in_frame=at_ms % DAY_MS * 25 // 1000, out_frame=(at_ms % DAY_MS + length_ms) * 25 // 1000, place=Place("takes.csv", n + 2), **more,
    )  # fmt: skip


def clip(name: str, at_ms: int | None, length_ms: int | None = 10_000, **more: str) -> CameraClip:
    return CameraClip(file=name, timecode_ms=None if at_ms is None else at_ms % DAY_MS, length_ms=length_ms, **more)


def shown(match: ClipMatch) -> dict[int, list[str]]:
    return {t.place.line - 2: list(match.files_of(t) or ()) for t in (one.take for one in match.found)}


def codes(match: ClipMatch) -> list[str]:
    return [p.code for p in clip_problems(match, "clips", "scriptkit coverage dish.yaml --log takes.csv --clips clips")]


seeds = st.integers(0, 10**6)


@given(seeds, st.integers(3, 14), st.integers(-2 * HOUR, 2 * HOUR), st.sampled_from([10 * HOUR, DAY_MS - 10 * MINUTE]))
def test_each_take_finds_its_clip_however_the_clock_was_set_once_the_shift_is_said(
    seed: int, count: int, behind_ms: int, first_ms: int
) -> None:
    """The clip begins up to 3 s before the tap and ends up to 3 s after; the names tell nothing. The day may run over midnight."""
    luck = random.Random(seed)
    runs = day(seed, count, first_ms)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    clips = [
        clip(f"{n:04d}.mp4", at - luck.randint(0, 3000) - behind_ms, length + luck.randint(0, 3000))
        for n, (at, length) in enumerate(runs)
    ]
    match = match_clips(takes, clips, P25, {"": behind_ms})
    assert shown(match) == {n: [f"{n:04d}.mp4"] for n in range(count)}
    assert (match.without_clip, match.without_take, match.clocks) == ((), (), ())


@given(seeds, st.integers(5, 14), st.integers(2 * MINUTE, HOUR), st.booleans())
def test_clocks_that_are_apart_are_offered_as_one_shift_that_then_holds(
    seed: int, count: int, apart_ms: int, ahead: bool
) -> None:
    behind_ms = -apart_ms if ahead else apart_ms
    runs = day(seed, count)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    clips = [clip(f"{n:04d}.mp4", at - behind_ms, length) for n, (at, length) in enumerate(runs)]
    asked = match_clips(takes, clips, P25)
    (clock,) = asked.clocks
    assert abs(clock.apart_ms - behind_ms) < 1_000
    assert (clock.applied, asked.found, asked.without_clip) == (False, (), ())
    assert {asked.files_of(one) for one in takes} == {None}  # nobody knows yet
    told = next(
        p for p in clip_problems(asked, "clips", "scriptkit coverage --clips clips") if p.code == "clocks-apart"
    )
    shift = told.hint.rpartition(" --clip-shift ")[2]
    again = match_clips(takes, clips, P25, clip_shifts(shift, ("",)))
    assert shown(again) == {n: [f"{n:04d}.mp4"] for n in range(count)}
    assert again.clocks == ()


@given(seeds, st.integers(1, 10), st.sets(st.integers(0, 9)), st.sets(st.integers(0, 9)))
def test_every_take_and_every_clip_is_found_or_told(
    seed: int, count: int, no_clip: set[int], no_take: set[int]
) -> None:
    runs = day(seed, count)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs) if n not in no_take]
    clips = [clip(f"{n:04d}.mp4", at, length) for n, (at, length) in enumerate(runs) if n not in no_clip]
    match = match_clips(takes, clips, P25)
    known = {t.place for t in (*match.without_clip, *match.waiting)}
    assert known | {one.take.place for one in match.found} == {t.place for t in takes}
    hanging = {file for clock in match.clocks for _, file in clock.waiting}
    assert {c.file for c in match.without_take} | {one.clip.file for one in match.found} | hanging == {
        c.file for c in clips
    }
    assert {one.take.place for one in match.found}.isdisjoint(known)


@given(seeds, st.integers(4, 12))
def test_the_order_of_clips_and_takes_in_their_lists_is_nothing(seed: int, count: int) -> None:
    runs = day(seed, count)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    clips = [clip(f"{n:04d}.mp4", at + 400, length) for n, (at, length) in enumerate(runs)]
    mixed = random.Random(seed).sample(clips, count)
    assert shown(match_clips(takes, clips, P25)) == shown(match_clips(takes[::-1], mixed, P25))


# --- names ------------------------------------------------------------------------------------------------------------


def test_the_clip_that_the_log_names_is_found_without_any_clock() -> None:
    takes = [take(n, at, length, clip=str(12 + n)) for n, (at, length) in enumerate(day(1, 4))]
    clips = [clip(f"C00{12 + n}.MP4", None) for n in (0, 1, 3, 4)]
    match = match_clips(takes, clips, P25)
    assert shown(match) == {0: ["C0012.MP4"], 1: ["C0013.MP4"], 3: ["C0015.MP4"]}
    assert [c.file for c in match.without_take] == ["C0016.MP4"]
    assert codes(match) == ["no-clip", "clip-without-take"]


def test_names_hold_though_the_clock_is_minutes_apart_and_the_shift_is_told_all_the_same() -> None:
    runs = day(2, 5)
    takes = [take(n, at, length, clip=f"C{n + 1:04d}") for n, (at, length) in enumerate(runs)]
    clips = [clip(f"C{n + 1:04d}.MP4", at - 432_000, length) for n, (at, length) in enumerate(runs)]
    match = match_clips(takes, clips, P25)
    assert {one.how for one in match.found} == {BY_NAME}
    assert shown(match) == {n: [f"C{n + 1:04d}.MP4"] for n in range(5)}
    assert [(c.apart_ms, c.applied) for c in match.clocks] == [(432_000, False)]
    (problem,) = clip_problems(match, "clips", "scriptkit coverage dish.yaml --log takes.csv --clips clips")
    assert (
        problem.message == "the time code of the camera is 7 min 12 s behind the log's; if so, 5 takes have their clips"
    )
    assert (
        problem.hint == "if that is right: scriptkit coverage dish.yaml --log takes.csv --clips clips --clip-shift 7:12"
    )


def test_where_the_log_counts_otherwise_than_the_camera_the_time_decides() -> None:
    """The cook left the page's clip at 1, and the camera was at 3: by name each take would have the clip of another."""
    runs = day(3, 6)
    takes = [take(n, at, length, clip=str(n + 1)) for n, (at, length) in enumerate(runs)]
    clips = [clip(f"C{n + 3:04d}.MP4", at, length) for n, (at, length) in enumerate(runs)]
    match = match_clips(takes, clips, P25)
    assert shown(match) == {n: [f"C{n + 3:04d}.MP4"] for n in range(6)}
    assert {one.how for one in match.found} == {BY_TIME}
    assert codes(match) == ["clips-misnamed"]


def test_one_clip_number_that_was_noted_wrongly_is_put_right_by_its_time() -> None:
    runs = day(4, 5)
    takes = [take(n, at, length, clip=str(n + 1)) for n, (at, length) in enumerate(runs)]
    takes[2] = replace(takes[2], clip="5")
    clips = [clip(f"C{n + 1:04d}.MP4", at, length) for n, (at, length) in enumerate(runs)]
    assert shown(match_clips(takes, clips, P25))[2] == ["C0003.MP4"]


def test_two_cards_with_the_same_clip_number_are_told_apart_by_card_then_by_time_and_else_told() -> None:
    (a_ms, a_long), (b_ms, b_long) = day(5, 2)
    takes = [take(0, a_ms, a_long, clip="12", card="1"), take(1, b_ms, b_long, clip="12", card="2")]
    clips = [clip("CARD1/C0012.MP4", None), clip("CARD2/C0012.MP4", None)]
    assert shown(match_clips(takes, clips, P25)) == {0: ["CARD1/C0012.MP4"], 1: ["CARD2/C0012.MP4"]}
    nameless = [replace(t, card="") for t in takes]
    timed = [clip("CARD1/C0012.MP4", a_ms, a_long), clip("CARD2/C0012.MP4", b_ms, b_long)]
    assert shown(match_clips(nameless, timed, P25)) == {0: ["CARD1/C0012.MP4"], 1: ["CARD2/C0012.MP4"]}
    unsure = match_clips(nameless[:1], clips, P25)
    assert [[c.file for c in one.or_else] for one in unsure.found] == [["CARD2/C0012.MP4"]]
    assert codes(unsure) == ["clip-twice"]


# --- clocks -----------------------------------------------------------------------------------------------------------


def test_two_cameras_each_with_a_clock_of_its_own() -> None:
    runs = day(6, 6)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    clips = [clip(f"A/{n}.mov", at, length) for n, (at, length) in enumerate(runs)]
    clips += [clip(f"B/{n}.mov", at + 95_000, length) for n, (at, length) in enumerate(runs) if n != 3]
    match = match_clips(takes, clips, P25)
    assert {one.clip.folder for one in match.found} == {"A"}
    assert [(c.camera, c.apart_ms) for c in match.clocks] == [("B", -95_000)]
    hint = next(p.hint for p in clip_problems(match, "x", "cmd") if p.code == "clocks-apart")
    assert hint.endswith("--clip-shift B=-1:35")
    again = match_clips(takes, clips, P25, {"B": -95_000})
    assert again.files_of(takes[0]) == ("A/0.mov", "B/0.mov")
    assert again.files_of(takes[3]) == ("A/3.mov",)


def test_the_moment_in_the_file_may_be_in_universal_time() -> None:
    """Half hours apart are a time zone: counted with, and told as a note."""
    runs = day(7, 4)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    clips = [
        CameraClip(file=f"{n}.mp4", created_ms=at - 2 * HOUR + 1500, length_ms=length)
        for n, (at, length) in enumerate(runs)
    ]
    match = match_clips(takes, clips, P25)
    assert shown(match) == {n: [f"{n}.mp4"] for n in range(4)}
    assert codes(match) == ["clock-zone"]


def test_time_code_that_counts_what_was_recorded_gives_way_to_the_moment_in_the_file() -> None:
    """Time code from 00:00:00:00 on, which runs only while the camera does."""
    runs = day(8, 6)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    run_ms = [sum(length for _, length in runs[:n]) for n in range(6)]
    clips = [
        CameraClip(file=f"{n}.mp4", timecode_ms=run_ms[n], created_ms=at, length_ms=length)
        for n, (at, length) in enumerate(runs)
    ]
    match = match_clips(takes, clips, P25)
    assert shown(match) == {n: [f"{n}.mp4"] for n in range(6)}
    assert codes(match) == []


def test_a_camera_that_was_left_running_shows_every_take_of_its_clip() -> None:
    runs = day(9, 4)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    whole = clip("long.mp4", runs[0][0] - 20_000, runs[-1][0] + runs[-1][1] - runs[0][0] + 60_000)
    assert shown(match_clips(takes, [whole], P25)) == {n: ["long.mp4"] for n in range(4)}


def test_a_clip_of_another_day_is_no_proof_unless_the_date_was_never_set() -> None:
    (at, length), *_ = day(10, 1)
    one = take(0, at, length, clip="12", recorded="2026-10-05 10:00:20")
    now, old = (
        clip(f"{folder}/C0012.MP4", at, length, date=date)
        for folder, date in (("new", "2026-10-05"), ("old", "2026-09-12"))
    )
    assert shown(match_clips([one], [now, old], P25)) == {0: ["new/C0012.MP4"]}
    unset = replace(old, date="2015-01-01")
    assert shown(match_clips([one], [unset], P25)) == {0: ["old/C0012.MP4"]}


def test_a_tap_without_times_is_found_by_the_moment_at_which_it_was_judged() -> None:
    bare = replace(take(0, 0, 0, recorded="2026-10-05 10:00:20"), in_frame=None, out_frame=None)
    assert shown(match_clips([bare], [clip("1.mp4", 10 * HOUR, 22_000)], P25)) == {0: ["1.mp4"]}


def test_a_clip_that_broke_off_is_told() -> None:
    one = take(0, 10 * HOUR, 40_000, clip="1")
    match = match_clips([one], [clip("C0001.MP4", 10 * HOUR, 3_000)], P25)
    (problem,) = clip_problems(match, "clips", "", [(one, 40_000)])
    assert (problem.code, problem.message) == (
        "clip-short",
        f"{SHOTS[0].slate} take 0 ran 40 s, and its clip C0001.MP4 has 3 s",
    )


@pytest.mark.parametrize("text", ["seven", "7", "Q=7:12", "A=", "7:72"])
def test_what_is_no_shift_is_told(text: str) -> None:
    with pytest.raises(CannotDo):
        clip_shifts(text, ("A", "B"))


# --- what a file tells ------------------------------------------------------------------------------------------------

TOLD = """Input #0, mov,mp4,m4a,3gp,3g2,mj2, from 'C0012.MP4':
  Metadata:
    creation_time   : 2026-10-05T08:00:01.500000Z
  Duration: 00:01:03.00, start: 0.000000, bitrate: 340 kb/s
  Stream #0:0[0x1](und): Video: mpeg4 (mp4v / 0x7634706D), yuv420p, 160x90, 336 kb/s, 29.97 fps, 29.97 tbr, 30k tbn (default)
    Metadata:
      timecode        : %s
  Stream #0:1[0x2](eng): Data: none (tmcd / 0x64636D74), 0 kb/s
"""


def test_length_time_code_and_moment_are_read() -> None:
    found = clip_in("C0012.MP4", TOLD % "10:01:00;02")
    assert found == CameraClip(
        file="C0012.MP4",
        length_ms=63_000,
        timecode_ms=10 * HOUR + MINUTE + 66,
        created_ms=8 * HOUR + 1_500,
        date="2026-10-05",
    )
    assert clip_in("C0012.MP4", TOLD % "99:00:00:00").timecode_ms is None  # type: ignore[union-attr]
    assert clip_in("talk.mp4", "  Stream #0:0: Audio: aac (LC), 48000 Hz, stereo\n") is None


def test_of_one_clip_the_number_after_a_c_counts() -> None:
    (one,) = clip_counters([CameraClip(file="A001C012_251005_R2AB.mov")]).values()
    assert one == 12
    assert list(clip_counters([CameraClip(file="010012.MP4"), CameraClip(file="010013.MP4")]).values()) == [12, 13]


def test_a_clip_of_the_right_name_and_another_hour_is_no_proof_where_the_other_clips_agree_on_the_clock() -> None:
    runs = day(11, 5)
    takes = [take(n, at, length, clip=str(n + 1)) for n, (at, length) in enumerate(runs)]
    clips = [clip(f"C{n + 1:04d}.MP4", at, length) for n, (at, length) in enumerate(runs)]
    clips[3] = clip("C0004.MP4", runs[3][0] + 5 * HOUR)
    match = match_clips(takes, clips, P25)
    assert [t.number for t in match.without_clip] == [3]
    assert [c.file for c in match.without_take] == ["C0004.MP4"]


def test_a_card_that_was_not_copied_is_told_once() -> None:
    runs = day(12, 8)
    takes = [take(n, at, length) for n, (at, length) in enumerate(runs)]
    match = match_clips(takes, [clip("1.mov", runs[0][0], runs[0][1])], P25)
    (problem,) = clip_problems(match, "clips", "scriptkit coverage")
    assert problem.message.startswith("7 circled takes have no clip among the 1 clip here: ")
