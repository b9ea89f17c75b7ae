"""Which words of a talk are said of something that was made before the film."""

from __future__ import annotations

import pytest

from scriptkit.english.made_earlier import made_earlier
from scriptkit.english.stems import words_in


def told(*lines: str) -> str:
    """The words that are said of it, with where a line ends marked by /."""
    found = made_earlier(lines)
    return " / ".join(" ".join(words_in(lines[n])[k] for k in sorted(numbers)) for n, numbers in found.items())


@pytest.mark.parametrize("line", [
    "Here is one that I made earlier",
    "here are some onions I fried this morning",
    "this is a stock we made yesterday",
    "I've got a ham in the fridge that I boiled last night",
    "and I baked one this morning",
    "these were poached earlier and one I did beforehand",
    "one we prepared ahead of time",
    "I shaped a round earlier and cut the cross in it",
    "these mussels I scrubbed before you came",
    "in this bowl I whisked the flour and the salt last night",
    "here is the one from yesterday, cooled on the rack",
])  # fmt: skip
def test_it_is_one_made_earlier(line: str) -> None:
    assert told(line)


@pytest.mark.parametrize("line", [
    "add the onions that we chopped earlier",
    "put back the fish we set aside before",
    "this is the pan that I like best",
    "leave it overnight, and in the morning it is set",
    "here is the butter, and it goes in earlier than the flour",
    "I said earlier that the pan must be hot",
    "we stir the rice from the bottom",
    "I had this for my breakfast, and I have it every morning",
    "do this before you put the potatoes in",
    "this is how we made it last year in the old kitchen",
])  # fmt: skip
def test_it_is_done_here_or_nothing_is_made(line: str) -> None:
    assert told(line) == ""


def test_it_ends_with_its_sentence_and_goes_on_over_lines() -> None:
    assert told("Good. Here is a loaf that I baked", "this morning, golden. Now slice it.") == (
        "here is loaf that baked / this morning golden"
    )
    long = "here is one i made earlier " + "and stir and stir and stir and stir and stir and stir " * 3
    assert 5 < len(told(long).split()) < 20
    assert told("Stir.", "Whisk it.") == ""
