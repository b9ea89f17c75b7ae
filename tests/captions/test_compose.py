"""Cues on one line of time: readable, apart, in order, and nothing dropped in silence."""

from __future__ import annotations

import dataclasses
import itertools
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.compose import LATE_MS, LATEST_MS, Group, Wish, compose, missing_ms
from scriptkit.captions.composing.cue_limits import CueLimits, cue_limits_for
from scriptkit.captions.composing.text_fitting import readable_ms
from scriptkit.captions.limits import least_ms
from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.measure.timecode import RATES
from scriptkit.problems import Place, Problem
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.title import Title, TitleFigure

TWO_FRAMES_MS = 2 * Fraction(1000) / Fraction(24000, 1001)
"""At 23.976 frames/s, the slowest in use: 83.4 ms (Netflix Timed Text Style Guide: 2 frames at least between cues)."""


def wish(at_ms: int, text: str, track: str = "addition", short: str = "", *, share: bool = True) -> Wish:
    return Wish(at_ms=at_ms, text=text, track=track, short=short, share=share and track == "addition")


def group(at_ms: int, *wishes: Wish, line: int = 1, lead_ms: int = 0) -> Group:
    return Group(at_ms=at_ms, name=f"step {line}", place=Place("dish.yaml", line), wishes=wishes, lead_ms=lead_ms)


def shown(cues: list[Cue]) -> str:
    return " | ".join(cue.text.replace("\n", " / ") for cue in cues)


@st.composite
def plans(draw: st.DrawFn) -> tuple[list[Group], int]:
    """Groups one after another, each with cautions, additions, time jumps and cards, and where the cut ends."""
    groups, now = [], draw(st.integers(0, 30_000))
    for line in range(1, draw(st.integers(1, 7)) + 1):
        length = draw(st.integers(2_000, 45_000))
        names = draw(st.lists(st.text("abcdefghij klm", min_size=1, max_size=50).filter(str.strip), max_size=6))
        wishes = []
        for n, name in enumerate(names):
            track = draw(st.sampled_from(["safety", "addition", "addition", "addition", "time", "macros"]))
            label = f"{line}.{n} {name}"
            wishes.append(wish(now + draw(st.integers(0, length)), f"{label} 30 g (2 tbsp)", track, f"{label} 30 g"))
        wishes.sort(key=lambda w: ("safety", "addition", "macros", "time").index(w.track))
        groups.append(group(now, *wishes, line=line, lead_ms=draw(st.sampled_from([0, 12_000]))))
        now += length
    return groups, now


def texts(cues: list[Cue]) -> str:
    return " ".join(" ".join(cue.lines) for cue in cues)


def told(problems: list[Problem], code: str) -> str:
    return " ".join(p.message for p in problems if p.code == code)


@settings(max_examples=100, deadline=None)
@given(plans())
def test_every_cue_is_readable_apart_in_order_and_inside_the_cut(plan: tuple[list[Group], int]) -> None:
    groups, end_ms = plan
    cues, _ = compose(groups, end_ms)
    for cue in cues:
        assert cue.end_ms - cue.start_ms >= readable_ms(" ".join(cue.lines))
        assert 0 <= cue.start_ms < cue.end_ms <= end_ms
        assert 1 <= len(cue.lines) <= 2
        assert all(0 < len(line) <= 42 for line in cue.lines)
    for one, next_one in itertools.pairwise(cues):
        assert next_one.start_ms - one.end_ms >= TWO_FRAMES_MS


@settings(max_examples=100, deadline=None)
@given(plans())
def test_every_wish_is_shown_or_told(plan: tuple[list[Group], int]) -> None:
    groups, end_ms = plan
    cues, problems = compose(groups, end_ms)
    on_screen, not_shown = texts(cues), told(problems, "caption-no-room") + told(problems, "caption-too-long")
    for one in (w for g in groups for w in g.wishes):
        label = one.text.split(" ", 1)[0]
        assert (f"{label} " in f"{on_screen} ") != (f"“{label} " in not_shown), one


@settings(max_examples=60, deadline=None)
@given(plans(), st.integers(0, 500_000))
def test_a_plan_shifted_shifts_every_cue(plan: tuple[list[Group], int], by_ms: int) -> None:
    groups, end_ms = plan

    def shifted(gs: list[Group], ms: int) -> list[Group]:
        return [
            dataclasses.replace(
                g, at_ms=g.at_ms + ms, wishes=tuple(dataclasses.replace(w, at_ms=w.at_ms + ms) for w in g.wishes)
            )
            for g in gs
        ]

    early = shifted(groups, 12_000)  # from where a lead is never cut short by the beginning of the cut
    cues, problems = compose(early, end_ms + 12_000)
    later, same = compose(shifted(early, by_ms), end_ms + 12_000 + by_ms)
    assert [dataclasses.replace(c, start_ms=c.start_ms + by_ms, end_ms=c.end_ms + by_ms) for c in cues] == later
    assert same == problems


LONG = f"1.0 aaaaaaaaaa {'b' * 39}"
SPLIT = group(
    0, wish(1_000, f"{LONG} 30 g (2 tbsp)", "time", f"{LONG} 30 g")
)  # its second page begins "bbb…", or "30 g"


@settings(max_examples=60, deadline=None)
@given(plans())
@example(([SPLIT, group(60_000, wish(60_000, "2.0 a 30 g (2 tbsp)", short="2.0 a 30 g"), line=2)], 90_000))
def test_no_time_jump_is_shown_after_the_next_step_has_begun(plan: tuple[list[Group], int]) -> None:
    groups, end_ms = plan
    cues, _ = compose(groups, end_ms)
    begins = [g.at_ms for g in groups if g.wishes]
    line = 0
    for cue in (c for c in cues if c.track == "time"):
        if label := re.match(r"(\d+)\.\d", cue.text):  # the second page of a long one has none
            line = int(label[1])
        assert line
        after = [g.at_ms for g in groups if int(g.place.line) > line and g.wishes]
        assert cue.start_ms < min(after, default=end_ms), (cue, begins)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.text("abcdefgh", min_size=1, max_size=24), min_size=1, max_size=6), st.integers(1_000, 20_000))
def test_the_seconds_that_are_missing_are_the_seconds_that_help(names: list[str], length_ms: int) -> None:
    wishes = tuple(wish(0, f"{name} 30 g (2 tbsp)", short=f"{name} 30 g") for name in names)
    one = group(0, *wishes)
    missing = missing_ms(one, 0, length_ms)
    _, problems = compose([one], length_ms)
    assert bool(problems) == (missing > 0)
    assert compose([one], length_ms + missing)[1] == []
    if missing:
        assert compose([one], length_ms + missing - 1)[1] != []


def test_safety_comes_first_and_before_its_step_where_there_is_time() -> None:
    one = group(20_000, wish(20_000, "Oil 27 g", "addition"), wish(40_000, "5 min later", "time"))
    cautions = [wish(20_000, "Lay it away from you", "safety")]
    cues, problems = compose([group(20_000, *cautions, *one.wishes, lead_ms=12_000)], 60_000)
    assert [c.track for c in cues] == ["safety", "addition", "time"]
    assert cues[0].end_ms <= 20_000
    assert cues[1].start_ms == 20_000
    assert problems == []


def test_a_lead_never_begins_before_the_cut() -> None:
    cues, _ = compose([group(1_000, wish(1_000, "Vent open", "safety"), lead_ms=12_000)], 30_000)
    assert cues[0].start_ms == 0


def test_with_room_everything_is_said_in_full() -> None:
    wishes = [wish(n * 6_000, f"{name} 30 g (2 tbsp)", short=f"{name} 30 g") for n, name in enumerate(["Oil", "Ghee"])]
    cues, problems = compose([group(0, *wishes)], 30_000)
    assert shown(cues) == "Oil 30 g (2 tbsp) | Ghee 30 g (2 tbsp)"
    assert problems == []


def test_with_less_room_two_additions_share_a_cue() -> None:
    wishes = [wish(n * 2_000, f"{name} 30 g (2 tbsp)", short=f"{name} 30 g") for n, name in enumerate(["Oil", "Ghee"])]
    cues, problems = compose([group(0, *wishes)], 5_800)
    assert shown(cues) == "Oil 30 g (2 tbsp) / Ghee 30 g (2 tbsp)"
    assert problems == []


def test_a_shorter_wording_comes_before_dropping_anything() -> None:
    wishes = [wish(0, f"{name} 30 g (about 2 tbsp)", short=f"{name} 30 g") for name in ["Oil", "Ghee", "Lard", "Suet"]]
    cues, problems = compose([group(0, *wishes), group(2_000, wish(2_000, "Wait", "safety"), line=2)], 60_000)
    assert problems == []
    assert "tbsp" not in shown(cues)
    assert all(name.casefold() in shown(cues).casefold() for name in ["Oil", "Ghee", "Lard", "Suet"])


def test_a_shorter_wording_keeps_the_additions_with_their_pictures() -> None:
    wishes = [
        wish(n * 3_000, f"{name} 30 g (about 3 ½ tbsp)", short=f"{name} 30 g")
        for n, name in enumerate(["Capers", "Almond", "Raisin", "Shrimp"])
    ]
    cues, problems = compose([group(0, *wishes)], 60_000)  # in full there would be time, but the last came 7 s late
    additions = {c.lines[0].split()[0]: c.start_ms for c in cues}
    assert all(additions.get(w.text.split()[0], 0) - w.at_ms <= LATE_MS for w in wishes)
    assert problems == []


def test_an_addition_that_must_wait_for_a_caution_is_told() -> None:
    cautions = [wish(0, text, "safety") for text in ["Pat it dry; extractor on", "Oil shimmering, not smoking"]]
    cues, problems = compose([group(0, *cautions, wish(0, "Hake 680 g"))], 60_000)
    assert [p.code for p in problems] == ["caption-late"]
    assert "Hake 680 g" in problems[0].message
    assert [c.track for c in cues] == ["safety", "safety", "addition"]


def test_what_is_late_at_the_first_step_is_told_with_what_can_be_done() -> None:
    """No step stands before it to be given more time; once there is one, the cautions are read there."""
    cautions = [wish(0, text, "safety") for text in ["Pat it dry; extractor on", "Oil shimmering, not smoking"]]
    _, problems = compose([group(0, *cautions, wish(0, "Hake 680 g"))], 60_000)
    assert "write a step before it" in problems[0].hint
    (seconds,) = re.findall(r"`screen: (\d+) s`", problems[0].hint)
    lead = int(seconds) * 1_000
    later = [wish(lead, w.text, w.track) for w in (*cautions, wish(0, "Hake 680 g"))]
    assert compose([group(lead, *later, lead_ms=lead)], 60_000)[1] == []


@pytest.mark.parametrize("apart_ms", [2_500, 3_500, 4_500, 6_000, 9_000])
def test_a_correction_does_not_keep_the_next_caption_from_its_moment(apart_ms: int) -> None:
    correction = replace(group(0, wish(0, "Correction: 80 g of capers, not 40 g.")), gives_way=True)
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    cues, problems = compose([correction, group(apart_ms, wish(apart_ms, "Butter 60 g"))], 60_000, room)
    assert problems == []
    assert cues[0].lines[0].startswith("Correction")
    assert cues[1].start_ms - apart_ms <= room.gap_ms


def test_too_full_a_step_says_how_many_seconds_it_lacks() -> None:
    wishes = [wish(0, f"{name} 30 g") for name in ["Butterscotch chips", "Candied orange peel", "Hazelnut praline"]]
    cues, problems = compose([group(0, *wishes)], 6_000)
    assert cues != []
    assert {p.code for p in problems} == {"caption-no-room"}
    assert problems[0].place == Place("dish.yaml", 1)
    needed = readable_ms("Butterscotch chips 30 g, candied orange peel 30 g, hazelnut praline 30 g")  # in one cue
    assert (
        problems[0].hint
        == f"give it {-(-(needed - 6_000) // 1000)} s more `screen:` (for all its captions together), or split the step"
    )


def test_what_is_needed_least_goes_first() -> None:
    wishes = [
        wish(0, "Vent open", "safety"),
        wish(0, "Oil 27 g"),
        wish(0, "Card", "macros"),
        wish(0, "9 min later", "time"),
    ]
    seen = []
    for length in (12_500, 9_400, 6_200, 3_100):
        cues, problems = compose([group(0, *wishes)], length)
        seen.append(([c.track for c in cues], sum(p.code == "caption-no-room" for p in problems)))
    assert seen == [
        (["safety", "addition", "macros", "time"], 0),
        (["safety", "addition", "macros"], 1),
        (["safety", "addition"], 2),
        (["safety"], 3),
    ]


@pytest.mark.parametrize("length", [1_000, 60_000])
def test_a_text_that_fits_no_cue_is_told_and_does_not_push_out_others(length: int) -> None:
    cues, problems = compose([group(0, wish(0, "x" * 100), wish(0, "Oil 27 g"))], length)
    assert "caption-too-long" in [p.code for p in problems]
    if length == 60_000:
        assert shown(cues) == "Oil 27 g"


def test_a_group_may_run_a_little_into_the_next_but_no_further() -> None:
    first = group(0, *[wish(0, f"{name} 30 g", share=False) for name in ["Oil", "Ghee", "Lard"]])
    second = group(4_500, wish(4_500, "Salt 3 g"), line=2)
    cues, problems = compose([first, second], 60_000)
    assert shown(cues) == "Oil 30 g | Ghee 30 g | Lard 30 g | Salt 3 g"
    assert cues[2].end_ms <= 4_500 + LATEST_MS
    assert [p.code for p in problems] == ["caption-late"]


def test_nothing_to_say_makes_no_cues() -> None:
    assert compose([], 10_000) == ([], [])
    assert compose([group(0)], 10_000) == ([], [])


def test_a_text_too_long_for_a_cue_is_split_over_several_never_cut() -> None:
    """Where the room is small: two lines of 20."""
    text = "Ladle it into warm bowls, lay the mussels on top and pour the rest of the hot broth around them"
    cues, problems = compose([group(0, wish(0, text))], 60_000, CueLimits(width=20))
    assert problems == []
    assert len(cues) > 2
    assert " ".join(" ".join(c.lines) for c in cues) == text
    assert all(len(line) <= 20 for c in cues for line in c.lines)
    nowhere, told = compose([group(0, wish(0, text), wish(0, "Oil 27 g"))], 6_000, CueLimits(width=20))
    assert [c.text for c in nowhere] == ["Oil 27 g"]  # all of it or nothing
    assert [p.code for p in told] == ["caption-no-room"]


def test_a_text_that_cannot_be_read_within_the_longest_cue_is_split() -> None:
    slow = Profile(
        name="slow", source="", limits={"line_length": 42, "lines": 2, "characters_a_second": 5, "longest_ms": 7_000}
    )
    text = "Ladle it into warm bowls, then pour the broth around"
    cues, problems = compose([group(0, wish(0, text))], 60_000, cue_limits_for(slow, RATES["25"]))
    assert problems == []
    assert " ".join(" ".join(c.lines) for c in cues) == text
    for cue in cues:
        assert least_ms(" ".join(cue.lines), slow) <= cue.end_ms - cue.start_ms <= 7_000


def test_lines_as_written_that_do_not_fit_are_put_together_with_commas() -> None:
    card = Wish(at_ms=0, text="A serving, 320 g: 216 kcal\nfat 11.2 g, protein 5.1 g", track="macros")
    cues, _ = compose([group(0, card)], 60_000, CueLimits(width=22, lines=3))
    assert shown(cues) == "A serving, 320 g: / 216 kcal, fat 11.2 g, / protein 5.1 g"


def test_to_be_read_twice_gives_way_before_anything_is_dropped() -> None:
    """Two additions and 6 s: read twice they take 8.5 s, at the pace of a profile 3.2 s."""
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    wishes = (wish(0, "Vegetable stock 1.18 kg (1.2 l)"), wish(2_000, "Brown butter 30 g (2 tbsp)", share=False))
    cues, problems = compose([group(0, *wishes)], 6_000, room)
    assert [c.text for c in cues] == [w.text for w in wishes]
    assert problems == []
    assert all(c.end_ms - c.start_ms >= 1_500 for c in cues)


def test_more_additions_than_seconds_share_a_card() -> None:
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    names = ["Salt", "Pepper", "Thyme", "Capers", "Lemon"]
    wishes = [
        replace(wish(n * 800, f"{name} {n} g", share=True), title=Title((TitleFigure(f"{n} g", name),)))
        for n, name in enumerate(names, 1)
    ]
    cues, problems = compose([group(0, *wishes)], 4_500, room)
    assert problems == []
    assert [f.name for c in cues if c.title for f in c.title.figures] == names


def test_in_a_cut_the_hint_says_what_its_editor_can_do() -> None:
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    crowded = [wish(0, f"{letter * 30} 28 g") for letter in "abcdef"]
    for remedy, told in (("`screen:`", "more `screen:`"), ("", "longer in the edit")):
        one = replace(group(0, *crowded), remedy=remedy)
        _, problems = compose([one], 4_000, room)
        hints = [p.hint for p in problems if p.code == "caption-no-room"]
        assert hints and all(told in hint for hint in hints)


def test_the_seconds_that_several_captions_lack_are_said_to_be_for_all_of_them() -> None:
    """Copied once, they are enough; of one caption alone nothing is said of others."""
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    crowded = replace(group(0, *(wish(0, f"{letter * 30} 28 g") for letter in "abcdef")), remedy="")
    _, problems = compose([crowded], 9_000, room)
    hints = {p.hint.partition(", or")[0] for p in problems if p.code == "caption-no-room"}
    assert len(hints) == 1 and len(problems) > 1
    found = re.fullmatch(r"hold .+ (\d+) s longer in the edit \(for all its captions together\)", hints.pop())
    assert found is not None
    assert compose([crowded], 9_000 + 1000 * int(found[1]), room)[1] == []
    _, alone = compose([replace(crowded, wishes=crowded.wishes[:1])], 500, room)
    assert len(alone) == 1 and "together" not in alone[0].hint


ROOM = cue_limits_for(profiles()["streaming"], RATES["25"])


def test_what_can_be_read_twice_gives_way_to_the_cautions_of_the_next_step() -> None:
    """Read twice, the stock stands until 15.0 s, and the cautions of the blend begin after it has been switched on."""
    stock = wish(10_000, "Vegetable stock 1.18 kg (1.2 l)")
    cautions = (wish(14_000, "Hot: jug one third full, vent open", "safety"), wish(14_000, "Start slow", "safety"))
    cues, problems = compose([group(10_000, stock), group(14_000, *cautions, line=2, lead_ms=12_000)], 60_000, ROOM)
    assert [c.track for c in cues] == ["addition", "safety", "safety"] and problems == []
    assert all(c.start_ms <= 14_000 for c in cues)
    assert all(c.end_ms - c.start_ms >= ROOM.stands_once_ms(c.text) for c in cues)


def test_what_is_read_once_stands_until_the_next_where_there_is_time() -> None:
    """The jump in time must be read by 6 s; the additions before it give way, and the second fills what is left."""
    jump = replace(wish(4_000, "18 min later", "time"), until_ms=6_000)
    wishes = (wish(0, "Celeriac 602 g (about 3 ¾ cups)"), wish(1_500, "Stock 1.2 l (1.18 kg)", share=False), jump)
    cues, problems = compose([group(0, *wishes)], 60_000, ROOM)
    assert problems == [] and [c.track for c in cues] == ["addition", "addition", "time"]
    assert 4_000 <= cues[2].start_ms <= 6_000
    assert cues[1].end_ms >= cues[2].start_ms - ROOM.gap_ms - 1


def test_time_that_has_passed_is_told_before_its_result_or_not_at_all() -> None:
    """And the temperature that is read then is not what is given up."""
    crowded = [wish(0, f"{letter * 30} 28 g", share=False) for letter in "abc"]
    jump = replace(wish(2_000, "55 min later", "time"), until_ms=3_000)
    core = wish(7_000, "Inside: 63 °C (145 °F)", "time")
    cues, problems = compose([group(0, *crowded, jump, core)], 60_000, ROOM)
    assert "later" not in shown(cues) and "Inside: 63" in shown(cues)
    (told_,) = [p for p in problems if p.code == "caption-no-room"]
    assert told_.message.startswith("“55 min later” is not shown")
    assert told_.message.endswith("step 1 has no time left before its result is seen")
