"""Talk cut into clauses, and what each tells of the names in it; more cases stand in tests/cut/confessions_clauses.csv."""

from __future__ import annotations

import re

import pytest

from scriptkit.english import clauses as c
from scriptkit.english.clause_effects import clause_effects
from scriptkit.english.clauses import clauses_of
from scriptkit.english.talk_tokens import talk_tokens

NAMES = re.compile(r"\b(?:chives|cream|mustard|capers|parsley|butter|stock|salt)\b")


def tokens(text: str) -> list[str]:
    return [t.text for t in talk_tokens(text, [m.span() for m in NAMES.finditer(text)])]


def told(text: str) -> list[str]:
    names = [m.group() for m in NAMES.finditer(text)]
    plural = {n for n, name in enumerate(names) if name.endswith("s")}
    return [f"{e.effect} {', '.join(names[n] for n in e.names)}".strip() for e in clause_effects(tokens(text), plural)]


@pytest.mark.parametrize(
    ("text", "clauses"),
    [
        ("I put it in and then they added the salt.", ["i put it in", "and then they added the @0"]),
        ("i was busy so i never added the salt", ["i was busy", "so i never added the @0"]),
        ("The capers, the parsley and the salt went in.", ["the @0 , the @1 and the @2 went in"]),
        ("that was more salt than twenty grams the spoon slipped", ["that was more @0 than twenty grams", "the spoon slipped"]),
    ],
)  # fmt: skip
def test_talk_is_cut_where_another_subject_or_verb_begins(text: str, clauses: list[str]) -> None:
    assert [one.text for one in clauses_of(tokens(text))] == clauses


@pytest.mark.parametrize(
    ("text", "subject", "when", "denied"),
    [
        ("I never put the chives on.", c.US, c.PAST, True),
        ("You could leave them out.", c.YOU, c.MODAL, False),
        ("I should have stirred it in.", c.US, c.MEANT, False),
        ("The salt will go on later.", c.NAME, c.FUTURE, False),
        ("Hold the salt for now.", c.NO_ONE, c.ORDER, False),
        ("The camera had died.", c.CAMERA, c.PAST, False),
        ("My mother never salted hers.", c.OTHER, c.PAST, True),
        ("Their add went in.", c.NO_ONE, c.PAST, False),  # after a determiner it is no verb
        ("Now leave the salt out.", c.NO_ONE, c.ORDER, False),
        ("I am not sure.", c.US, c.PRESENT, False),
        ("I am going to add the salt.", c.US, c.FUTURE, False),
        ("We did not only add the salt.", c.US, c.PAST, False),
    ],
)
def test_a_clause_knows_who_does_it_when_and_whether_it_is_denied(
    text: str, subject: str, when: str, *, denied: bool
) -> None:
    (clause,) = clauses_of(tokens(text))
    assert (clause.subject, clause.when, clause.denied) == (subject, when, denied)


def test_a_verb_that_looks_the_same_today_and_yesterday_takes_the_time_before_it() -> None:
    assert [one.when for one in clauses_of(tokens("We added the cream and put the salt in."))] == [c.PAST, c.PAST]
    assert [one.when for one in clauses_of(tokens("I added the stock and keeps the salt back."))] == [c.PAST, c.PRESENT]


@pytest.mark.parametrize(
    ("text", "effects"),
    [
        ("The mustard. I weighed it. And it's still in the jar.", ["left out mustard"]),
        ("The cream stays in the jug for now.", ["later cream"]),
        ("The capers were hard to find, so I've made do with olives.", ["instead capers"]),
        ("I put in three spoons of butter rather than two.", ["more butter"]),
        ("There should be more capers than that.", ["less capers"]),
        ("Somebody knocked the tripod while I poured the stock in.", ["unfilmed stock"]),
        ("Ah, the chives. I walked straight past them.", ["left out chives"]),
        ("I'd have liked it better if I had remembered the salt.", ["left out salt"]),
        ("The trouble is that I forgot the salt.", ["left out salt"]),
        ("No salt yet, that comes once it has reduced.", ["later salt"]),
        ("Capers, no, not yet, the capers can wait until everybody's sitting down.", ["later capers"]),
        ("The capers are in my pocket.", ["left out capers"]),
    ],
)
def test_what_a_clause_tells_is_bound_to_its_name_or_to_what_its_pronoun_goes_back_to(
    text: str, effects: list[str]
) -> None:
    assert told(text) == effects


@pytest.mark.parametrize(
    "text",
    [
        "Leave the stock for ten minutes.",
        "I bought more chives than I need.",
        "No stock cube ever tasted like this stock.",
        "Keep the cream in the fridge.",
        "My mother never put salt on it.",
        "Last week I forgot the salt.",
        "Don't skip the salt.",
        "I forgot to say how good the butter is.",
        "You could put the chives on at the table.",
    ],
)
def test_what_others_do_may_be_done_or_was_done_once_tells_nothing(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "Melt the butter. Now we are going to set it aside.",
        "Rinse the capers. This one is dry, save it.",
        "Whisk in the mustard. Right, set this aside in a big bowl.",
        "Add the cream. Can't believe it is not butter. But it melts.",
        "You see that we are having no chunks of butter in here.",
        "Melt the butter. I never put any gravy in there.",
        "Add the salt. I forgot to put in one of the most important things.",
        "I said I was going to use some chives or use some parsley.",
        "Add the stock, as if it did not have enough stock, until it bubbles.",
        "Peel the swede or other roots and cut them into chunks, steam them, mash them with salted butter.",
        "I have got a quarter of the butter that you would normally use.",
        "Salt the capers. What did I forget? Nothing, the mustard's in.",
        "The recipe has cream in it and a lot of people never get round to using the good one.",
    ],
)
def test_what_goes_on_in_a_kitchen_is_no_confession(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    ("text", "effects"),
    [
        ("The cream, set that aside for later.", ["later cream"]),
        ("Set the chives aside until we serve.", ["later chives"]),
        ("Right. What did I forget? The mustard.", ["left out mustard"]),
        ("Here are the capers. I never put any of them in.", ["left out capers"]),
        ("We lost the shot of the cream going in.", ["unfilmed cream"]),
    ],
)
def test_what_is_like_it_and_is_one_is_told(text: str, effects: list[str]) -> None:
    assert told(text) == effects


def test_in_talk_without_stops_a_silence_ends_a_sentence() -> None:
    text = "stir it well i forgot the salt"
    assert [t.text for t in talk_tokens(text, [], [12])][3:5] == [".", "i"]
