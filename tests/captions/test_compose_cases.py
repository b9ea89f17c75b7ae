"""What is shown of too much, and when, worked out by hand: a text of at most 10 letters stands 3 s, then 0.2 s a letter; cues keep
0.12 s apart."""

from __future__ import annotations

import dataclasses

import pytest
from test_compose import group, shown, wish

from scriptkit.captions.composing.compose import LATE_MS, Wish, compose, missing_ms
from scriptkit.captions.composing.cue_limits import GAP_MS, CueLimits, cue_limits_for
from scriptkit.captions.profile import Profile
from scriptkit.measure.timecode import RATES
from scriptkit.problems import Place

SLOW = Profile(
    name="slow", source="", limits={"line_length": 42, "lines": 2, "characters_a_second": 5, "longest_ms": 7_000}
)


def apart(at_ms: int, text: str, short: str = "") -> Wish:
    """An addition with a cue of its own."""
    return wish(at_ms, text, short=short, share=False)


# --- what is told -----------------------------------------------------------------------------------------------------


def test_what_found_no_room_is_named_in_short_with_its_time_and_what_would_help() -> None:
    """Two cues of 3 s in 5 s, the second in its shorter wording: 1.12 s are lacking, which is 2 whole ones."""
    cues, (problem,) = compose([group(0, apart(0, "Oil 30 g"), apart(0, "Ghee 30 g (2 tbsp)", "Ghee 30 g"))], 5_000)
    assert shown(cues) == "Oil 30 g"
    assert (problem.code, problem.place) == ("caption-no-room", Place("dish.yaml", 1))
    assert problem.message == "“Ghee 30 g” is not shown: it needs 3.0 s to read, and step 1 has no time left for it"
    assert problem.hint == "give it 2 s more `screen:`, or split the step"


def test_what_would_help_is_reckoned_in_the_profile_s_own_time() -> None:
    """8 characters at 2 a second stand 4.04 s with a frame of slack: two of them and the gap lack 3.2 of 5 s; 9 take half a second more."""
    slowest = SLOW.with_limits(characters_a_second=2, longest_ms=20_000)
    _, (problem,) = compose(
        [group(0, apart(0, "Oil 30 g"), apart(0, "Ghe 30 g"))], 5_000, cue_limits_for(slowest, RATES["25"])
    )
    assert problem.hint == "give it 4 s more `screen:`, or split the step"


def test_seconds_that_would_not_help_are_not_asked_for() -> None:
    """A jump in time that would be told when the next step is already seen: no length of its own picture helps."""
    late = group(0, wish(8_000, "9 min later", "time"))
    cues, (problem,) = compose([late, group(8_000, apart(8_000, "Oil 30 g"), line=2)], 60_000)
    assert shown(cues) == "Oil 30 g"
    assert problem.hint == "give it more `screen:`, or split the step"


def test_a_text_too_wide_for_any_cue_is_told_by_its_beginning() -> None:
    for room, size in ((CueLimits(), "2 lines of 42"), (cue_limits_for(SLOW, RATES["25"]), "2 lines of 42")):
        _, (problem,) = compose([group(0, apart(0, "x" * 100), line=7)], 60_000, room)
        assert (problem.code, problem.place) == ("caption-too-long", Place("dish.yaml", 7))
        assert problem.message == f"“{'x' * 60}…” does not fit {size} characters"
        assert problem.hint == "use a shorter name"
    assert missing_ms(group(0, apart(0, "x" * 100)), 0, 1_000) == 0


def test_a_word_that_takes_longer_to_read_than_a_cue_may_stand_is_told_as_such() -> None:
    """40 letters at 5 a second take 8 s; a cue stands 7 at most, less a frame of slack."""
    _, (problem,) = compose([group(0, apart(0, "x" * 40))], 60_000, cue_limits_for(SLOW, RATES["25"]))
    assert problem.message == f"“{'x' * 40}” cannot be read in the 7.0 s that a cue may stay on screen"
    assert problem.hint == "use a shorter name, or a profile with a longer `longest_ms:`"


# --- what goes first --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("turned", [False, True])
def test_a_jump_in_time_goes_before_an_addition_in_whatever_order_they_stand(turned: bool) -> None:
    wishes = [apart(0, "Oil 30 g"), wish(0, "9 min later", "time")]
    cues, (problem,) = compose([group(0, *(wishes[::-1] if turned else wishes))], 5_000)
    assert shown(cues) == "Oil 30 g" and "9 min later" in problem.message


def test_of_a_track_the_last_goes_first() -> None:
    cues, _ = compose([group(0, apart(0, "Oil 30 g"), apart(0, "Ghee 30 g"), apart(0, "Lard 30 g"))], 6_200)
    assert shown(cues) == "Oil 30 g | Ghee 30 g"


def test_what_cannot_be_shown_even_alone_does_not_push_out_others() -> None:
    """64 characters are one cue in the house's room and two in this one: 10 s are not enough for it there."""
    long = apart(0, "Ladle it into warm bowls and pour the rest of the hot broth over")
    cues, (problem,) = compose([group(0, long, apart(0, "Oil 30 g"))], 11_250, CueLimits(width=20))
    assert shown(cues) == "Oil 30 g" and "Ladle it" in problem.message


@pytest.mark.parametrize(("next_at_ms", "seen"), [(10_001, True), (10_000, False), (9_000, False)])
def test_a_jump_in_time_is_told_only_before_the_next_step_is_seen(next_at_ms: int, seen: bool) -> None:
    jump, after = group(0, wish(10_000, "9 min later", "time")), group(next_at_ms, apart(next_at_ms, "Oil 30 g"))
    cues, _ = compose([jump, after], 60_000)
    assert ("9 min later" in shown(cues)) is seen


# --- wordings ---------------------------------------------------------------------------------------------------------


def test_a_shorter_wording_in_one_cue_is_shown_before_the_fuller_in_two() -> None:
    full = "Warm chicken and leek broth with the first of the mussel liquor 1 l (about 4 cups and a quarter)"
    cues, problems = compose([group(0, apart(0, full, "Broth 1 l"))], 60_000)
    assert shown(cues) == "Broth 1 l" and problems == []


def test_of_a_shorter_row_each_says_what_it_can_in_one_cue() -> None:
    """In full 3.2 + 3.0 s and a gap; with the first cut short 6.12 s, all that there is. The second has no shorter wording."""
    wishes = (apart(0, "Oil 30 g (2 tbsp)", "Oil 30 g"), apart(0, "Ghee 30 g"))
    assert shown(compose([group(0, *wishes)], 6_320)[0]) == "Oil 30 g (2 tbsp) | Ghee 30 g"
    assert shown(compose([group(0, *wishes)], 6_120)[0]) == "Oil 30 g | Ghee 30 g"


def test_beside_a_text_that_must_be_split_the_others_say_it_in_short_and_whole() -> None:
    """Cues of 3, 3, 4 and 3.4 s with gaps between them; in full the first would take 0.2 s more."""
    long = apart(0, "Stir in the mussel liquor, butter")
    wishes = (apart(0, "Oil 30 g (2 tbsp)", "Oil 30 g"), apart(0, "Ghee 30 g"), long)
    room = CueLimits(width=20, lines=1)
    row = " | Ghee 30 g | Stir in the mussel | liquor, butter"
    assert shown(compose([group(0, *wishes)], 13_960, room)[0]) == "Oil 30 g (2 tbsp)" + row
    assert shown(compose([group(0, *wishes)], 13_760, room)[0]) == "Oil 30 g" + row


def test_a_card_that_fits_no_cue_is_shown_in_short_before_it_is_split() -> None:
    card = Wish(at_ms=0, text="A serving of the bisque, 320 g: 193 kcal", short="Serving: 193 kcal", track="macros")
    cues, problems = compose([group(0, card)], 60_000, CueLimits(width=20, lines=1))
    assert shown(cues) == "Serving: 193 kcal" and problems == []


def test_a_shorter_wording_may_be_split_too() -> None:
    """In cues of 20 characters: the text takes four, its short wording two."""
    room = CueLimits(width=20, lines=1)
    full = "Stir in the mussel liquor, the parsley, the lemon and the last of the butter"
    one = apart(0, full, "Stir in the mussel liquor, butter")
    assert shown(compose([group(0, one)], 60_000, room)[0]).replace(" | ", " ") == full
    assert shown(compose([group(0, one)], 8_000, room)[0]) == "Stir in the mussel | liquor, butter"


def test_a_text_is_split_over_as_few_cues_as_hold_it() -> None:
    """Two lines of 20 hold 41 characters with the space between them."""
    line = "Ladle it into warm bowls"  # 24: two lines
    cues, _ = compose([group(0, apart(0, f"{line} {line}"))], 60_000, CueLimits(width=20))
    assert [c.text.replace("\n", " ") for c in cues] == [line, line]
    full = "Warm broth with lots of bay, half of oil."
    assert len(full) == 41
    cues, _ = compose([group(0, apart(0, f"{full} {full}"))], 60_000, CueLimits(width=20))
    assert [c.text.replace("\n", " ") for c in cues] == [full, full]


def test_a_text_that_needs_more_than_four_cues_is_told() -> None:
    words = " ".join(["x" * 40] * 10)  # two to a cue
    cues, (problem,) = compose([group(0, apart(0, words))], 600_000)
    assert cues == [] and problem.code == "caption-too-long"
    cues, problems = compose([group(0, apart(0, " ".join(["x" * 40] * 8)))], 600_000)
    assert len(cues) == 4 and problems == []


def test_additions_that_share_a_line_go_on_in_small_letters_but_for_names_of_capitals() -> None:
    wishes = [wish(0, text) for text in ("Oil 30 g", "Ghee 30 g", "BBQ rub 5 g")]
    cues, _ = compose([group(0, *wishes)], 8_000)
    assert shown(cues) == "Oil 30 g, ghee 30 g, BBQ rub 5 g"


@pytest.mark.parametrize("shares", [(True, False), (False, True)])
def test_what_has_a_cue_of_its_own_is_put_with_no_other(shares: tuple[bool, bool]) -> None:
    wishes = [wish(0, text, share=share) for text, share in zip(("Oil 30 g", "Ghee 30 g"), shares, strict=True)]
    assert shown(compose([group(0, *wishes)], 5_000)[0]) == "Oil 30 g"


# --- when -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("later_ms", "says"), [(0, "Ghee 30 g (2 tbsp)"), (1, "Ghee 30 g")])
def test_a_fuller_wording_may_be_late_by_three_seconds_and_no_more(later_ms: int, says: str) -> None:
    """Oil in full stands 3.2 s, in short 3: what follows it is late by so much less."""
    at_ms = 3_200 + GAP_MS - LATE_MS - later_ms
    wishes = (apart(0, "Oil 30 g (2 tbsp)", "Oil 30 g"), apart(at_ms, "Ghee 30 g (2 tbsp)", "Ghee 30 g"))
    assert shown(compose([group(0, *wishes)], 60_000)[0]).endswith(f"| {says}")


def test_only_the_cautions_are_led() -> None:
    """A caution of two lines stands before the step, by its own time and a gap; the addition waits for its moment."""
    caution = wish(20_000, "Lay it away from you, and keep a lid\nwithin reach", "safety")
    one = dataclasses.replace(group(20_000, caution, apart(30_000, "Oil 30 g")), lead_ms=30_000)
    cues, _ = compose([one], 60_000)
    stands = 3_000 + 200 * (len("Layitawayfromyou,andkeepalidwithinreach".replace(",", "")) - 10)
    assert cues[0].start_ms == 20_000 - stands - GAP_MS
    assert cues[1].start_ms == 30_000


def test_what_follows_a_step_without_a_cue_begins_at_once() -> None:
    cues, _ = compose([group(0, apart(0, "x" * 100)), group(0, apart(0, "Oil 30 g"))], 60_000)
    assert [c.start_ms for c in cues] == [0]


@pytest.mark.parametrize(("earlier_ms", "told"), [(0, False), (1, True)])
def test_an_addition_that_appears_more_than_three_seconds_late_is_told(earlier_ms: int, told: bool) -> None:
    """A caution of 10 letters stands 3 s before it."""
    at_ms = 3_000 + GAP_MS - LATE_MS - earlier_ms
    step = group(at_ms, apart(at_ms, "Hake 680 g"))
    _, problems = compose([group(0, wish(0, "Vents wider", "safety")), step], 60_000)
    assert [p.code for p in problems] == ["caption-late"] * told


@pytest.mark.parametrize(
    ("remedy", "hint"),
    [
        ("`screen:`", "write a step before it, such as heating the pan, with `screen: 5 s`"),
        ("", "start the picture of"),
    ],
)
def test_where_a_caution_is_in_the_way_the_hint_makes_room_for_it(remedy: str, hint: str) -> None:
    """After a finished dish there is no step that could be given more time."""
    closing = dataclasses.replace(
        group(0, wish(0, "A serving: 216 kcal", "macros")), name="the closing", remedy="`closing:` under `film:`"
    )
    wishes = wish(20_000, "Lay it away from you", "safety"), apart(20_000, "Hake 680 g,\nskin side down")
    step = dataclasses.replace(group(20_000, *wishes), remedy=remedy)
    _, (problem,) = compose([closing, step], 60_000)
    assert hint in problem.hint and "cautions" in problem.hint


def test_what_is_late_behind_the_captions_of_a_closing_names_it() -> None:
    cards = [wish(0, f"{n} {'x' * 30}", "macros") for n in range(3)]
    closing = dataclasses.replace(group(0, *cards), name="the closing of the soup", remedy="`closing:` under `film:`")
    _, problems = compose([closing, group(18_000, apart(18_000, "Hake 680 g"))], 90_000)
    hint = (
        "give the closing of the soup 4 s more `closing:` under `film:`"  # the cards end at 21.84 s, and a gap follows
    )
    assert [p.hint for p in problems if p.code == "caption-late"] == [hint]


def test_what_is_late_is_told_with_the_step_that_needs_more_time() -> None:
    """16 letters stand 4.2 s."""
    step = group(0, wish(0, "Lay it away from you", "safety"), apart(0, "Hake 680 g,\nskin side down"), line=4)
    _, (problem,) = compose([dataclasses.replace(step, lead_ms=1)], 60_000)  # there is a step before it
    assert problem.place == Place("dish.yaml", 4)
    assert problem.message == (
        "“Hake 680 g, skin side down” is shown 4 s after it goes in: the cautions before it take that long to read"
    )
    assert problem.hint == "give the step before step 4 5 s more `screen:`"
