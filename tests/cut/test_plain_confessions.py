"""What is confessed in so many words is believed, whatever led in to it and whatever is learned of its neighbourhood."""

from __future__ import annotations

from unittest.mock import Mock

import pytest

from scriptkit.english import learned_effects as learned
from scriptkit.english.effect_features import NOT_KNOWN
from scriptkit.english.effect_kinds import INSTEAD, LEFT_OUT, LESS, MORE, UNFILMED
from scriptkit.english.effect_weights import KINDS, NOTHING
from scriptkit.english.plain_confessions import is_no_confession, went_in_before_you
from scriptkit.english.spoken_effects import effects_said
from scriptkit.english.talk_tokens import talk_tokens

LEAD_INS = (
    "", "Oh, and ", "Oh and ", "Ah, ", "Ah and ", "Right, so ", "By the way, ", "And also, ", "And also ", "Well, and ", "Yes, and ",
    "Oh no, ", "Oh dear, and ", "So, ", "And by the way ",
)  # fmt: skip
CONFESSIONS = (
    "I forgot the parsley", "we forgot the parsley", "I completely forgot the parsley", "I left out the parsley",
    "I skipped the parsley", "I didn't put the parsley in", "there's no parsley in it",
)  # fmt: skip
HARMLESS = (
    "When I forgot the parsley my sister laughed.",
    "I nearly forgot the parsley.",
    "Last time I forgot the parsley.",
    "If I forgot the parsley you would tell me.",
    "I forgot the parsley needs washing.",
)


@pytest.fixture
def _doubtful(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(learned, "TalkFeatures", Mock())
    monkeypatch.setattr(learned, "chances", Mock(return_value=dict.fromkeys(KINDS, 0.0) | {NOTHING: 1.0}))


def said(sentence: str, name: str, *, named: bool = False) -> list[str]:
    """What becomes of the name, by the sentence; ``named``: without what is told of nothing."""
    text = f"That is it. {sentence} So that is the first dish."
    at = text.index(name)
    tokens = talk_tokens(text, [(at, at + len(name))], [])
    return [
        e.effect
        for e in learned.learned_effects(tokens, effects_said(tokens), ["it"], NOT_KNOWN)
        if e.names or not named
    ]


@pytest.mark.usefixtures("_doubtful")
@pytest.mark.parametrize(
    ("sentence", "effects"),
    [
        ("Sorry, the camera was off when the parsley went in.", [UNFILMED]),
        ("The camera was off just as all the parsley went in, off the heat.", [UNFILMED]),
        ("The camera was off when my phone rang, and the parsley is on the board.", []),
    ],
)
def test_what_went_in_while_the_camera_was_off_was_not_filmed(sentence: str, effects: list[str]) -> None:
    assert said(sentence, "parsley", named=True) == effects


@pytest.mark.usefixtures("_doubtful")
@pytest.mark.parametrize("confession", CONFESSIONS)
def test_a_plain_confession_is_heard_after_any_lead_in(confession: str) -> None:
    not_heard = [
        (lead, stop)
        for lead in LEAD_INS
        for stop in (".", "")
        if said(f"{lead}{confession}{stop}", "parsley") != [LEFT_OUT]
    ]
    assert not not_heard


@pytest.mark.usefixtures("_doubtful")
def test_that_it_is_left_out_is_heard_where_the_sentence_ends() -> None:
    for lead in LEAD_INS:
        assert said(f"{lead}I left the parsley out.", "parsley") == [LEFT_OUT], lead


@pytest.mark.usefixtures("_doubtful")
def test_what_was_used_instead_is_heard_after_any_lead_in() -> None:
    for lead in LEAD_INS:
        assert said(f"{lead}I used yoghurt instead of the cream.", "cream") == [INSTEAD], lead


@pytest.mark.usefixtures("_doubtful")
@pytest.mark.parametrize("sentence", HARMLESS)
def test_what_is_no_confession_is_still_doubted(sentence: str) -> None:
    assert LEFT_OUT not in said(sentence, "parsley")


@pytest.mark.usefixtures("_doubtful")
@pytest.mark.parametrize(
    ("sentence", "effects"),
    [
        ("I left the parsley out so that one is up to you", [LEFT_OUT]),
        ("the shop had run out of parsley so there's none in here", [LEFT_OUT]),
        ("I ran out of parsley so we'll do it without", [LEFT_OUT]),
        ("The supermarket was out of parsley, so it's going without.", [LEFT_OUT]),
        ("I ran out of parsley so I've used dill", [INSTEAD]),
        ("I'm not using the parsley today, my son doesn't like it.", [LEFT_OUT]),
        ("I had to add more parsley because it was too thick.", [MORE]),
        ("I doubled the parsley by the way.", [MORE]),
        ("I only used half of the parsley, it was plenty.", [LESS]),
        ("If the shop had run out of parsley I would use dill", []),
        ("I ran out of parsley so I went and bought some", []),
        ("On Monday we doubled the parsley.", []),
    ],
)
def test_what_is_said_in_everyday_words_is_believed(sentence: str, effects: list[str]) -> None:
    assert said(sentence, "parsley") == effects


@pytest.mark.parametrize(
    ("sentence", "none"),
    [
        ("I forgot to mention that the parsley should be dry", True),
        ("I forgot to say how the parsley is chopped", True),
        ("I didn't weigh the parsley", True),
        ("I forgot the parsley", False),
        ("I forgot to say it, I never used the parsley", False),
    ],
)
def test_what_is_not_said_or_not_weighed_is_not_left_out(sentence: str, none: bool) -> None:
    texts, at = tokens_of(sentence)
    assert is_no_confession(texts, at) is none


@pytest.mark.parametrize(
    ("sentence", "seen"),
    [
        ("the parsley went in while you watched, and then the battery died", True),
        ("you saw the parsley go in and then my phone rang", True),
        ("the parsley went in and then the battery died", True),
        ("the battery died while the parsley went in", False),
        ("the parsley went in and then I noticed that the camera was off", False),
        ("you saw nothing when the parsley went in", False),
    ],
)
def test_what_went_in_before_the_camera_failed_was_seen(sentence: str, seen: bool) -> None:
    texts, at = tokens_of(sentence)
    assert went_in_before_you(texts, at) is seen


def tokens_of(sentence: str) -> tuple[list[str], int]:
    """The words of the sentence, and which of them is the parsley."""
    at = sentence.index("parsley")
    texts = [t.text for t in talk_tokens(sentence, [(at, at + len("parsley"))], [])]
    return texts, texts.index("@0")
