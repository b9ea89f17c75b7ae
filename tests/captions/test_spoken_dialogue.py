"""Dialogue captions from the script, the transcript and the recipe: the words that were said, when they were said, and nothing else."""

from __future__ import annotations

import functools
import itertools
import json
import subprocess
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from invented_talk import Talk, invented, keys
from messages import kinds
from rapidfuzz.distance import Levenshtein

from scriptkit.captions.dialogue.follow_script import following
from scriptkit.captions.dialogue.lines_read import where_read
from scriptkit.captions.dialogue.sentence_marks import with_marks
from scriptkit.captions.dialogue.spoken_dialogue import SpokenDialogue, dialogue_of
from scriptkit.captions.dialogue.timed_words import TimedWord, timed_words
from scriptkit.captions.dialogue.word_changes import changed
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.misheard import due_in
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.production import Production, read
from scriptkit.timed_text.webvtt import clock

Run = Callable[..., subprocess.CompletedProcess[str]]
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
CUT = str(EXAMPLES / "harbour-supper-cut.srt")


@functools.cache
def production(name: str) -> Production:
    return read(str(EXAMPLES / f"{name}.yaml"))


@functools.cache
def talk_of(name: str, seed: int) -> Talk:
    return invented(production(name), seed)


@functools.cache
def captioned(talk: Talk, name: str, *, keep_words: bool = False) -> SpokenDialogue:
    of = production(name)
    transcript = read_transcript(talk.srt.encode(), "talk.srt")
    return dialogue_of(of.script, timed_words(transcript.lines), of.room, due=due_in(of.dishes), keep_words=keep_words)


def words_of(made: SpokenDialogue) -> list[str]:
    return [k for cue in made.cues for k in keys(" ".join(cue.lines))]


TALKS = [("harbour-supper", seed) for seed in (0, 4, 6)] + [
    ("mussel-chowder", 1), ("mussel-chowder", 13), ("seeded-loaf", 2), ("pork-chops", 3),
]  # fmt: skip


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_an_invented_talk_is_captioned_as_it_was_said(name: str, seed: int) -> None:
    talk = talk_of(name, seed)
    made = captioned(talk, name)
    said = [w.text for w in talk.said]
    wrong = Levenshtein.distance(said, words_of(made))
    heard_wrong = Levenshtein.distance(said, [k for w in talk.heard for k in keys(w.text)])
    assert wrong <= 0.03 * len(said)
    assert wrong <= heard_wrong
    script = {k for p in production(name).script.passages for k in keys(p.text)}
    assert set(words_of(made)) <= script | {k for w in talk.heard for k in keys(w.text)}


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_a_cue_starts_where_its_first_word_is_heard(name: str, seed: int) -> None:
    talk = talk_of(name, seed)
    for cue in captioned(talk, name).cues:
        first = keys(cue.lines[0])[0]
        starts = [w.start_ms for w in (*talk.said, *talk.heard) if keys(w.text)[:1] == [first]]
        assert min(abs(start - cue.start_ms) for start in starts) <= 300, cue


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_every_changed_word_is_listed_and_no_other_is_changed(name: str, seed: int) -> None:
    talk = talk_of(name, seed)
    made = captioned(talk, name)
    heard = Counter(words_of(captioned(talk, name, keep_words=True)))
    was = Counter(k for c in made.changes for k in keys(c.was))
    now = Counter(k for c in made.changes for k in keys(c.now))
    written = heard.copy()
    written.subtract(was)
    written.update(now)
    assert +written == Counter(words_of(made))
    assert all(c.why and c.line for c in made.changes)


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_words_that_are_kept_are_those_that_were_heard(name: str, seed: int) -> None:
    talk = talk_of(name, seed)
    made = captioned(talk, name, keep_words=True)
    transcript = read_transcript(talk.srt.encode(), "talk.srt")
    assert (
        " ".join(line for c in made.cues for line in c.lines).split()
        == " ".join(x.text for x in transcript.lines).split()
    )
    assert not made.changes


@pytest.mark.parametrize("profile", list(profiles()))
def test_what_is_composed_keeps_the_profile(profile: str) -> None:
    of = read(SUPPER, profile=profile)
    transcript = read_transcript(Path(CUT).read_bytes(), CUT)
    made = dialogue_of(of.script, timed_words(transcript.lines), of.room)
    told = proof(Sheet(made.as_captions(CUT), of.profile, None))
    fast = {"too-fast", "too-short"}  # somebody who talks faster than the profile reads is told of once
    assert {p.code for p in told} <= fast
    assert len({p.place.line for p in told}) <= made.hurried
    assert profile != "streaming" or not told


# --- where the talk leaves the script ---------------------------------------------------------------------------------


def heard_as(text: str, name: str = "seared-hake") -> tuple[str, Sequence[tuple[str, str]]]:
    """What is written of a talk at an even pace, and what was changed."""
    words = [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(text.split())]
    made = following(production(name).script.passages, words)
    return " ".join(w.text for w in with_marks(made)), [(c.was, c.now) for c in changed(made, words)]


def test_the_script_is_taken_where_it_is_followed() -> None:
    text, changes = heard_as("the hate goes in skin side down and away from you press it flat for a minute or it curls")
    assert text.startswith("The hake goes in skin side down and away from you.")
    assert changes == [("hate", "hake")]


def test_words_split_by_the_recogniser_are_one_again() -> None:
    text, changes = heard_as("the rest of the salt and the but a over the top")
    assert text == "The rest of the salt, and the butter over the top."
    assert changes == [("but a", "butter")]


@pytest.mark.parametrize(
    "talk",
    [
        "pat the fillets dry with paper and salt the skin",  # not “butter”: nothing of the script is near
        "my neighbour hates butter on a Tuesday morning but what does he know",
    ],
)
def test_a_talk_of_its_own_is_left_alone(talk: str) -> None:
    text, changes = heard_as(talk)
    assert (keys(text), changes) == (keys(talk), [])


def test_a_figure_is_never_made_another() -> None:
    talk = "forty-three degrees in the middle and it flakes"
    text, changes = heard_as(talk)
    assert keys(text)[:2] == ["forty", "three"]
    assert changes == []
    text, changes = heard_as("fifteen grams of butter until it smells of hazelnuts")
    assert changes == [("fifteen", "Fifty")]  # the same to the ear, and the recipe's


def test_not_is_never_dropped_nor_added() -> None:
    text, _ = heard_as("the parsley isn't chopped not crushed")
    assert "isn't" in text
    text, _ = heard_as("the pan isn't off the heat by now and it still spits for a moment")
    assert "isn't" in text


def test_what_the_script_has_and_nobody_says_is_not_written() -> None:
    text, _ = heard_as("press it flat for a minute then leave it alone")
    assert "curls" not in text


def test_the_recipe_corrects_where_the_talk_leaves_the_script() -> None:
    of = production("seared-hake")
    talk = "fifty grams of butter until it smells of hazelnuts and you can throw in your papers whenever you like"
    talk += " and thirty grams of papers is what I use"
    heard = [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(talk.split())]
    made = dialogue_of(of.script, heard, of.room, due=due_in(of.dishes))
    text = " ".join(line for c in made.cues for line in c.lines)
    assert "30 grams of capers" in text
    assert [(c.was, c.now) for c in made.changes if "recipe has it" in c.why] == [("papers", "capers")]
    assert "throw in your papers" in text  # there nothing tells that a food is meant


# --- the command ------------------------------------------------------------------------------------------------------


def test_the_command_writes_dialogue_and_what_it_changed(run: Run, tmp_path: Path) -> None:
    done = run("captions", SUPPER, "--spoken", CUT, "-o", "overlays.vtt", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["files"] == ["overlays.vtt", "dialogue.vtt", "changed-words.csv"]
    table = (tmp_path / "changed-words.csv").read_text(encoding="utf-8").splitlines()
    assert table[0] == "time,heard,captioned,why,line"
    assert len(table) == len(told["changes"]) + len(told["marks"]) + 1
    assert {"time_ms", "heard", "captioned", "why", "line"} == set(told["changes"][0])
    dialogue = (tmp_path / "dialogue.vtt").read_text(encoding="utf-8")
    assert "Pat the fillets dry with paper" in dialogue.replace("\n", " ")
    assert "1.2 litres of fish stock" in dialogue.replace("\n", " ")
    assert "line:62%" in dialogue  # out of the overlay's way
    assert "off-frame" not in run("proof", "dialogue.vtt", "--fps", "25").stderr  # the file's own rate, not asked for


def test_the_times_count_from_the_first_frame(run: Run, tmp_path: Path) -> None:
    assert run("captions", SUPPER, "--spoken", CUT, "--start", "10:00:00:00", "-o", "overlays.srt").returncode == 0
    assert "10:00:00,000 --> " in (tmp_path / "dialogue.srt").read_text(encoding="utf-8")


def test_words_are_kept_on_request(run: Run, tmp_path: Path) -> None:
    done = run("captions", SUPPER, "--spoken", CUT, "--keep-words", "-o", "overlays.vtt", "--json")
    assert json.loads(done.stdout)["changes"] == json.loads(done.stdout)["marks"] == []
    assert "seven hundred grams" in (tmp_path / "dialogue.vtt").read_text(encoding="utf-8").replace("\n", " ")


@pytest.mark.parametrize(
    ("options", "place"),
    [(("--spoken", CUT, "--dialogue", CUT), "--spoken"), (("--keep-words",), "--keep-words")],
)
def test_options_that_do_not_go_together(run: Run, tmp_path: Path, options: tuple[str, ...], place: str) -> None:
    done = run("captions", SUPPER, *options, "-o", "overlays.vtt")
    assert (done.returncode, done.stderr.split(":")[0]) == (2, place)
    assert list(tmp_path.iterdir()) == []


GERMAN = (
    "1\n00:00:01,000 --> 00:00:09,000\n" + "Heute kochen wir eine Suppe mit Sellerie und Fenchel aus dem Topf. " * 4
)
OTHER = (
    "1\n00:00:01,000 --> 00:00:09,000\n"
    + "The ferry to the island leaves at nine from the second pier and you should be there early. " * 3
)


def test_a_transcript_in_another_language_is_refused(run: Run, tmp_path: Path) -> None:
    (tmp_path / "talk.srt").write_text(GERMAN, encoding="utf-8")
    done = run("captions", SUPPER, "--spoken", "talk.srt", "-o", "overlays.vtt")
    assert (done.returncode, kinds(done.stderr)) == (2, ["error not-english"])


def test_a_talk_of_something_else_is_told_and_stays_as_it_is(run: Run, tmp_path: Path) -> None:
    (tmp_path / "talk.srt").write_text(OTHER, encoding="utf-8")
    done = run("captions", SUPPER, "--spoken", "talk.srt", "-o", "overlays.vtt", "--json")
    told = json.loads(done.stdout)
    assert done.returncode == 1
    assert "script-not-followed" in {p["code"] for p in told["problems"]}
    assert all(keys(c["heard"]) == keys(c["captioned"]) for c in told["changes"])


MARKED = """WEBVTT

00:00:01.000 --> 00:00:04.000
[Music]

00:00:04.000 --> 00:00:08.000
[Music]
>> in goes the butter (40 grams) for a minute (laughs)

00:00:08.000 --> 00:00:12.000
in goes the butter (40 grams) for a minute (laughs)
until it smells of hazelnuts
"""


@pytest.mark.parametrize("keep", [(), ("--keep-words",)])
def test_no_mark_vanishes_unlisted(run: Run, tmp_path: Path, keep: tuple[str, ...]) -> None:
    (tmp_path / "talk.vtt").write_text(MARKED, encoding="utf-8")
    done = run("captions", SUPPER, "--spoken", "talk.vtt", *keep, "-o", "overlays.vtt", "--json")
    gone = [(c["time_ms"], c["heard"]) for c in json.loads(done.stdout)["changes"] if not c["captioned"]]
    assert gone == [(1_000, "[Music]"), (4_459, ">>"), (7_475, "(laughs)")]  # where they stand in their cues
    text = (tmp_path / "dialogue.vtt").read_text(encoding="utf-8")
    assert "[Music]" not in text and "40 grams" in text.replace("\n", " ")


TIMED = """WEBVTT

00:00:01.000 --> 00:00:06.000
In<00:00:01.400><c> goes</c><00:00:03.900><c> the</c><00:00:04.100><c> butter</c>

00:00:06.000 --> 00:00:09.000
In goes the butter
and<00:00:07.500><c> then</c><00:00:08.200><c> wait</c>
"""


def test_the_times_of_words_in_webvtt_are_taken_as_they_are() -> None:
    words = timed_words(read_transcript(TIMED.encode(), "talk.vtt").lines)
    assert [(w.text, w.start_ms) for w in words] == [
        ("In", 1_000), ("goes", 1_400), ("the", 3_900), ("butter", 4_100), ("and", 6_000), ("then", 7_500), ("wait", 8_200),
    ]  # fmt: skip
    assert words[1].end_ms < 3_000  # a pause follows: no word takes two seconds and a half


def test_times_that_go_back_or_lie_outside_are_left() -> None:
    back = TIMED.replace("00:00:03.900", "00:00:00.500").replace("00:00:08.200", "00:00:07.000")
    words = timed_words(read_transcript(back.encode(), "talk.vtt").lines)
    assert [w.start_ms for w in words] == sorted(w.start_ms for w in words)


BY_HAND = Path(__file__).parent / "talk_by_hand"


def by_hand(name: str) -> tuple[list[str], list[tuple[str, int]], Transcript]:
    """What is said, what is heard of it with its times, and that as a transcript."""
    rows = [row for row in (BY_HAND / f"{name}.txt").read_text(encoding="utf-8").splitlines() if row[:1] in "=~"]
    said = [key for row in rows[::2] for word in row[2:].split() for key in keys(word)]
    heard, blocks, now = [], [], 2_000
    for row in rows[1::2]:
        words = row[2:].split()
        for first in range(0, len(words), 7):
            part = words[first : first + 7]
            heard += [(word, now + 330 * n) for n, word in enumerate(part)]
            until = now + 330 * len(part)
            blocks.append(f"{clock(now)} --> {clock(until)}\n{' '.join(part)}\n")
            now = until
        now += 900
    return said, heard, read_transcript(("WEBVTT\n\n" + "\n".join(blocks)).encode(), "talk.vtt")


@pytest.mark.parametrize("name", ["curry", "pollock"])
def test_a_talk_written_by_hand_is_captioned_as_it_is_said(name: str) -> None:
    """Of 159 and 193 words 89 and 87 % are recognised; a short sentence of which two words in four are misheard stays as it is heard."""
    said, heard, transcript = by_hand(name)
    of = read(str(BY_HAND / f"{name}.yaml"))
    made = dialogue_of(of.script, timed_words(transcript.lines), of.room, due=due_in(of.dishes))
    written = words_of(made)
    assert Levenshtein.distance(said, written) <= 0.03 * len(said)
    script = {k for p in of.script.passages for k in keys(p.text)}
    assert set(written) <= script | {k for word, _ in heard for k in keys(word)}
    for cue in made.cues:
        starts = [at for word, at in heard if keys(word)[0] == keys(cue.lines[0])[0]]
        if cue.lines[0].startswith("100 "):  # said as *a hundred*
            starts = [at for (_, at), (word, _) in itertools.pairwise(heard) if word == "hundred"]
        assert not starts or min(abs(at - cue.start_ms) for at in starts) <= 300, cue


def test_a_step_whose_line_is_read_is_in_the_cut() -> None:
    """Its own words are misheard, so that hardly anything tells it but the line of the script."""
    _, heard, transcript = by_hand("pollock")
    of = read(str(BY_HAND / "pollock.yaml"))
    assert any(p.time_ms is None for p in place(of.source, transcript).placements)
    placed = place(of.source, transcript, lines_read=lambda: where_read(of.script.passages, transcript))
    begins = {p.step.id: p.begins_ms() for p in placed.placements if p.time_ms is not None}
    assert set(begins) == {step.id for dish in of.dishes for step in dish.steps}
    assert not placed.problems
    line = next(at for n, (word, at) in enumerate(heard) if word == "mills" and heard[n - 1][0] == "hundred")
    assert abs(begins["peas"] - line) < 2_000


def test_a_line_of_which_little_is_read_places_nothing() -> None:
    of = production("seared-hake")
    talk = "WEBVTT\n\n00:01.000 --> 00:09.000\nmy neighbour has butter in a pan and then he goes to the harbour for a walk\n"
    assert where_read(of.script.passages, read_transcript(talk.encode(), "talk.vtt")) == {}


def heard_alone(text: str, name: str = "pollock") -> str:
    of = read(str(BY_HAND / f"{name}.yaml"))
    words = [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(text.split())]
    made = dialogue_of(of.script, words, of.room, due=due_in(of.dishes))
    return " ".join(line for c in made.cues for line in c.lines)


def test_a_food_heard_in_parts_is_one_word_wherever_it_is_said() -> None:
    assert "have pollock, in the house" in heard_alone("my father would not have pole lock, in the house")
    assert "Pole. Lock the" in heard_alone("hold the Pole. Lock the door of the shed please")
    assert "shallot peas" in heard_alone("and we have shallot peas on Fridays by the way")


def test_a_name_of_which_one_word_is_another_is_sure_wherever_it_is_said(table: Table) -> None:
    """In talk that does not follow the script at all."""
    dish = """
        dish: Peas
        servings: 2
        ingredients: {peas: {amount: 500 g, food: "peas, frozen"}, crème fraîche: 100 g}
        steps: [{stage: cook, do: Crush the peas with the crème fraîche., add: {peas: all, crème fraîche: all}, vessel: pot}]
    """
    of = read(table.write("peas.yaml", dish))
    for said, captioned in (
        ("and my mother would take a hundred grams of creme fresh here", "grams of crème fraîche here"),
        ("and my mother would take some creme eggs fresh from the shop", "creme eggs fresh from"),
    ):
        heard = [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(said.split())]
        made = dialogue_of(of.script, heard, of.room, due=due_in(of.dishes))
        assert captioned in " ".join(line for c in made.cues for line in c.lines)


def test_a_talk_that_has_nothing_of_the_script_stays_as_it_is() -> None:
    text, changes = heard_as("ferries leave from another pier whenever somebody remembers")
    assert (keys(text), changes) == (keys("ferries leave from another pier whenever somebody remembers"), [])
