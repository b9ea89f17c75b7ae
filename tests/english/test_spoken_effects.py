"""What is said to become of an ingredient, in a sentence or two; the table of cases is tests/cut/confessions.csv."""

from __future__ import annotations

import re

import pytest

from scriptkit.english.spoken_effects import effects_said
from scriptkit.english.talk_tokens import talk_tokens

NAMES = re.compile(r"\b(?:chives|cream|mustard|capers|parsley|butter|stock|salt)\b")


def said(text: str) -> list[str]:
    """``left out chives, capers`` for each effect but that something goes in."""
    spans = [m.span() for m in NAMES.finditer(text)]
    tokens = talk_tokens(text, spans)
    plural = {n for n, (a, b) in enumerate(spans) if text[a:b].endswith("s")}
    found = [e for e in effects_said(tokens, plural) if not e.effect.startswith("goes in")]
    return [f"{e.effect} {', '.join(text[slice(*spans[n])] for n in e.names)}".strip() for e in found]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("I never put the chives on.", ["left out chives"]),
        ("Here are the chives and the cream. I forgot them.", ["left out chives, cream"]),
        ("Here is the cream and the chives. I forgot it.", ["left out cream"]),
        ("The capers and the parsley got left out.", ["left out capers, parsley"]),
        ("Stir in the cream and the mustard got left out.", ["left out mustard"]),
        ("I have run out of stock, so this is water.", ["instead stock"]),
        ("I have run out of stock.", ["left out stock"]),
        ("I put in twice as much mustard.", ["more mustard"]),
        ("I did not use all of the stock.", ["less stock"]),
        ("The camera was off when the cream went in.", ["unfilmed cream"]),
        ("In goes the cream. Oh, I forgot to film it.", ["unfilmed cream"]),
        ("The camera had died.", ["unfilmed"]),
        ("No salt yet.", ["later salt"]),
        ("i forgot the butter i'm afraid", ["left out butter"]),
        ("I did n't add any salt.", ["left out salt"]),
        ("the chives i'm leaving out today because the children are with us", ["left out chives"]),
        ("I'm kind of skipping the cream.", ["left out cream"]),
        ("So the parsley stayed at the supermarket.", ["left out parsley"]),
        ("Barely a whisper of mustard in mine.", ["less mustard"]),
        ("Where I told you butter, I used oil.", ["instead butter"]),
    ],
)
def test_each_kind_is_told_of_the_name_that_it_is_about(text: str, told: list[str]) -> None:
    assert said(text) == told


@pytest.mark.parametrize(
    "text",
    [
        "The butter stays in the fridge until tomorrow.",
        "If I forget the salt, it tastes of nothing.",
        "Before I forget the salt, here it goes.",
        "I nearly forgot the salt.",
        "I have not forgotten the salt.",
        "Did I forget the salt?",
        "My mother never put capers in hers.",
        "Last week I left out the cream.",
        "You could leave out the cream.",
        "I left the butter out of the fridge.",
        "I forgot to say that the butter is soft.",
        "Never boil the cream.",
        "The clip with the mustard is my favourite.",
    ],
)
def test_stories_questions_and_what_is_only_thought_of_say_nothing(text: str) -> None:
    assert said(text) == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("i have just seen the bowl of capers behind me untouched", ["left out capers"]),
        ("the mustard that is not in the pot", ["left out mustard"]),
        ("i am not going to bother with the cream today", ["left out cream"]),
        (
            "two spoons of mustard i told you and then i forgot to put any in the parsley is chopped",
            ["left out mustard"],
        ),
        ("that was dill by the way not parsley", ["instead parsley"]),
        ("it should have been three spoons of capers and i am one short", ["less capers"]),
        ("i have overdone the stock a bit there", ["more stock"]),
        (
            "that was meant to be a teaspoon of salt but my hand slipped and it was more like a tablespoon",
            ["more salt"],
        ),
        ("the shot of the cream is out of focus", ["unfilmed cream"]),
        ("we stopped filming and when we came back the stock was already in", ["unfilmed stock"]),
    ],
)
def test_in_talk_without_stops(text: str, told: list[str]) -> None:
    assert said(text) == told


@pytest.mark.parametrize(
    "text",
    [
        "i thought i had forgotten the capers but there they are",
        "i would not leave out the cream even on a diet",
        "the capers were forgotten in the freezer for a year but they are fine",
        "i turned the camera off while the stock cooked because nothing happens",
        "the capers are missing their stalks",
        "you can not believe it is not butter",
        "there are no lumps of butter in here",
        "just spotted the little jar of mustard over there",
        "and this is the cream when you come to us you can eat it",
        "i got too fresh parsley a lot of my heart my garden inside of a five minute give a good test and more of the early mistake for five minutes and so on and on",
    ],
)
def test_the_same_words_of_something_else_say_nothing(text: str) -> None:
    assert said(text) == []


def test_words_are_written_out_and_names_are_one_token() -> None:
    text = "They're in; I can't see it, it's Anna's stock."
    tokens = talk_tokens(text, [(text.index("stock"), text.index("stock") + 5)])
    assert " ".join(t.text for t in tokens) == "they are in . i can not see it , it is anna @0 ."
    assert [text[t.start : t.end] for t in tokens if t.text in ("not", "@0")] == ["can't", "stock"]
