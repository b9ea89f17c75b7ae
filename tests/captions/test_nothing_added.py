"""Dialogue captions say what was said: no word is added that nobody said, none is lost, and no change takes its neighbours with it."""

from __future__ import annotations

import functools
import random
import re
from collections import Counter
from collections.abc import Sequence

import pytest
from conftest import EXAMPLES
from invented_talk import invented, keys

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange, following
from scriptkit.captions.dialogue.sentence_marks import with_marks
from scriptkit.captions.dialogue.spoken_dialogue import SpokenDialogue, dialogue_of
from scriptkit.captions.dialogue.timed_words import TimedWord, timed_words
from scriptkit.captions.dialogue.word_changes import WrittenInstead, written_instead
from scriptkit.captions.proofing.misheard import due_in
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.production import Production, read, read_text

_SYLLABLES = re.compile(r"[aeiouy]+")


@functools.cache
def production(name: str) -> Production:
    return read(str(EXAMPLES / f"{name}.yaml"))


def spoken(text: str) -> list[TimedWord]:
    return [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(text.split())]


def captioned(of: Production, heard: Sequence[TimedWord]) -> SpokenDialogue:
    return dialogue_of(of.script, heard, of.room, due=due_in(of.dishes))


def text_of(made: SpokenDialogue) -> str:
    return " ".join(line for c in made.cues for line in c.lines)


# --- random slips -----------------------------------------------------------------------------------------------------

_MORE = ["over the top", "by the way", "at the last moment", "today", "as well", "right here", "very gently", "if you like", "and again", "with a spoon"]  # fmt: skip


def slipped(of: Production, seed: int) -> list[TimedWord]:
    """The script read aloud with words left out and words put in beside the script's, at random."""
    dice = random.Random(seed)
    words: list[str] = []
    for passage in of.script.passages:
        for word in re.sub(r"\[[^\]]*\]", " ", passage.text).split():
            bare = word.strip(",.;:!?") if dice.random() < 0.5 else word
            chance = dice.random()
            if chance < 0.04:
                continue
            words.append(f"{bare}'s" if chance > 0.98 and bare.isalpha() else bare)
            if chance < 0.09:
                words += dice.choice(_MORE).split()
    return [TimedWord(w, 330 * n, 330 * n + 300, 1 + n // 9) for n, w in enumerate(words)]


@functools.cache
def talks() -> list[tuple[list[TimedWord], SpokenDialogue]]:
    """Each with what is captioned of it."""
    found = []
    for name in ("mussel-chowder", "seeded-loaf", "pork-chops"):
        of = production(name)
        heard = read_transcript(invented(of, 11).srt.encode(), "talk.srt")
        due = due_in(of.dishes)
        for words in (slipped(of, 1), slipped(of, 2), timed_words(heard.lines)):
            found.append((words, dialogue_of(of.script, words, of.room, due=due)))
    return found


def syllables(text: str) -> int:
    return sum(max(1, len(_SYLLABLES.findall(word.removesuffix("e")))) for word in keys(text))


def test_every_word_that_was_not_heard_is_listed_with_what_was() -> None:
    for heard, made in talks():
        assert all(keys(c.was) and keys(c.now) for c in made.changes)
        written = Counter(k for w in heard for k in keys(w.text))
        written.subtract(Counter(k for c in made.changes for k in keys(c.was)))
        written.update(Counter(k for c in made.changes for k in keys(c.now)))
        assert +written == Counter(keys(text_of(made)))


def test_a_change_takes_no_more_words_than_sound_like_it() -> None:
    seen = 0
    for _, made in talks():
        for change in made.changes:
            if keys(change.was) == keys(change.now) or any(c.isdigit() for c in change.now):
                continue
            seen += 1
            assert abs(syllables(change.was) - syllables(change.now)) <= 1, change
    assert seen > 12


# --- one by one -------------------------------------------------------------------------------------------------------

DISH = """
dish: Crumb salad
servings: 2
ingredients:
  cauliflower: 500 g
  pistachios: {amount: 40 g, prep: chopped}
  lemon juice: 2 tbsp
  olive oil: 3 tbsp
  butter: {amount: 20 g, food: "butter, unsalted"}
  mint: {amount: 15 g, prep: chopped}
steps:
  - {id: pulse, stage: prep, do: Pulse the cauliflower., uses: cauliflower, tools: [food processor],
     say: "Five hundred grams of cauliflower, pulsed to crumbs, and not to paste."}
  - {id: fry, stage: cook, do: "Fry the cauliflower in the butter and the oil for 4 minutes.", vessel: pan, heat: medium, hands: 4 min,
     add: {cauliflower: all, butter: all, olive oil: 1 tbsp},
     say: "Twenty grams of unsalted butter and one tablespoon of olive oil, and fry the crumbs for four minutes."}
  - {id: dress, stage: cook, do: Dress it with the lemon juice and the rest of the oil., vessel: bowl, add: {lemon juice: all, olive oil: rest},
     say: "Two tablespoons of lemon juice and the rest of the olive oil go in now."}
  - {id: top, stage: cook, do: Scatter the pistachios and the mint over., vessel: bowl, add: {pistachios: all, mint: all},
     say: "And forty grams of pistachios, at the last moment, with the mint. Forty-four in all. It has two hundred kilocalories, and four point four grams of net carbs."}
"""


@functools.cache
def salad() -> Production:
    return read_text(DISH, "salad.yaml")


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("forty grams of pistachio's over the top at the last moment so they stay crisp", "over the top at the last"),
        ("forty grams of pistachios right on top at the last moment", "pistachios right on top"),
        ("and the rest of the olive oil goes right in now", "goes right in now"),
        ("two tablespoons lemon juice and the rest of the olive oil go in now", "tablespoons lemon juice"),
        ("five hundred grams of cauliflower pulsed to crumbs not to paste", "crumbs not to paste"),
        ("it has two hundred calories and four point four net carbs", "200 calories and 4.4 net"),
        ("twenty grams of salted butter and one tablespoon of olive oil", "of salted butter"),
        ("two teaspoons of lemon juice and the rest of the olive oil go in now", "teaspoons of lemon juice"),
        ("and fry the crumbs for four minutes forty um four in all", "40 um four"),
        ("twenty um grams of unsalted butter and one tablespoon of olive oil", "twenty um grams"),
        ("two tablespoons of lime juice and the rest of the olive oil go in now", "of lime juice"),
        ("and forty grams of pistachios at the last moment with the mince", "with the mince"),
        ("five hundred grams of cauliflower isn't pulsed to crumbs and not to paste", "isn't pulsed"),
    ],
)
def test_what_was_said_is_what_is_written(said: str, kept: str) -> None:
    assert kept in re.sub(r"[,.]", "", text_of(captioned(salad(), spoken(said))).casefold()).replace("44", "4.4")


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("five hundred grams of collie flower pulsed to crumbs and not to paste", "grams of cauliflower, pulsed"),
        ("twenty grams of unsalted but a and one tablespoon of olive oil", "unsalted butter and"),
        ("and forty grams of pistachios at the last moment with the meant", "with the mint."),
    ],
)
def test_what_sounds_like_the_script_is_the_script(said: str, written: str) -> None:
    assert written in text_of(captioned(salad(), spoken(said)))


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("so it is two hundred calories twenty one point five grams of fat and thirty nine point seven of protein", "21.5 grams of fat and 39.7 of"),
        ("that is nought point five grams of salt and zero point nine of sugar", "0.5 grams of salt and 0.9 of"),
        ("it was four point nought two grams and it's two and a half grams now", "4.02 grams and it's 2 ½ grams"),
        ("at this point five people left", "this point five people"),
        ("so we had one hundred and one point five grams of it", "101.5 grams"),
    ],
)  # fmt: skip
def test_figures_are_written_one_way(said: str, written: str) -> None:
    assert written in text_of(captioned(salad(), spoken(said)))


def test_a_name_heard_in_parts_keeps_the_mark_after_it() -> None:
    made = captioned(salad(), spoken("While that sits, the collie flower. Five hundred of them I sold."))
    assert "the cauliflower. Five hundred of" in text_of(made)


def test_words_written_as_one_keep_the_marks_of_the_last() -> None:
    words = [CaptionWord("col", 0, 1, 1, None, False), CaptionWord("flower.", 1, 2, 1, None, False, heard_marks=".")]
    made, changes = written_instead(words, [WrittenInstead(0, 2, "cauliflower.", "")])
    assert with_marks(made)[0].heard_marks == "."
    assert changes == [WordChange(0, "col flower.", "cauliflower.", "", 1)]


def test_the_script_alone_adds_nothing_to_a_talk_of_its_own() -> None:
    heard = spoken("olive oil in my house is for four other things and it stays there")
    assert [w.text.casefold() for w in following(salad().script.passages, heard)] == [w.text for w in heard]
