"""What is confessed in so many words is believed, whatever led in to it and whatever is learned of its neighbourhood."""

from __future__ import annotations

from unittest.mock import Mock

import pytest

from scriptkit.english import learned_effects as learned
from scriptkit.english.effect_kinds import INSTEAD, LEFT_OUT
from scriptkit.english.effect_weights import KINDS, NOTHING
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


def said(sentence: str, name: str) -> list[str]:
    """What becomes of the name, by the sentence."""
    text = f"That is it. {sentence} So that is the first dish."
    at = text.index(name)
    tokens = talk_tokens(text, [(at, at + len(name))], [])
    return [e.effect for e in learned.learned_effects(tokens, effects_said(tokens), ["it"], None)]  # type: ignore[arg-type]


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
