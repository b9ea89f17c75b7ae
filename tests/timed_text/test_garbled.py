"""Letters of UTF-8 that were read as windows-1252: what they were is found, and a text that is right is left alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.timed_text.garbled import as_meant, garbled_words

RIGHT = ["crème brûlée", "it’s 2½ dl at 180 °C", "“yes”", "naïve façade – œuf", "l’été à l’eau", "PURÉE", "piñón, ¿no?", "Übergießen",
         "på Ærø", "Łódź święta", "привет, мир", "玉ねぎを切って", "😀 good", "₂ × 3 €"]  # fmt: skip
MEANT_SO = ["MAÇÃ…", "“CAFÉ”", "IRMÃ”", "«MANHû", "À «la carte»", "“À”", "ÄÖÜ", "“Å”", "PURÉ®", "Ñ’s", "Só à noite", "Àà Éé", "€–€"]  # fmt: skip


def garbled(text: str) -> str:
    """As a program writes it that takes UTF-8 for windows-1252."""
    return "".join(bytes([b]).decode("cp1252", errors="ignore") or chr(b) for b in text.encode())


@pytest.mark.parametrize("text", RIGHT)
def test_what_was_garbled_once_or_twice_is_found(text: str) -> None:
    assert as_meant(text) == text
    assert garbled(text) != text
    assert as_meant(garbled(text)) == as_meant(garbled(garbled(text))) == text


@pytest.mark.parametrize("text", MEANT_SO)
def test_capitals_before_a_sign_are_meant_so(text: str) -> None:
    assert (as_meant(text), garbled_words(text)) == (text, [])


def test_each_word_is_told_without_the_marks_around_it() -> None:
    assert garbled_words("A (crÃ¨me), itâ€™s pure.") == [("crÃ¨me", "crème"), ("itâ€™s", "it’s")]


@given(st.text(st.characters(max_codepoint=0x24F), max_size=40))
def test_any_text_is_read_and_what_is_meant_stays(text: str) -> None:
    once = as_meant(text)
    assert len(once) <= len(text)
    assert (once == text) == (garbled_words(text) == []) or " " in once + text
