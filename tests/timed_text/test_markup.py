"""What of a caption's text is markup: tags and codes as long as other programs write them, and no more."""

from __future__ import annotations

import pytest

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.timed_text.markup import plain_lines, without_markup
from scriptkit.timed_text.reading import parse_captions


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ('<font face="Harbour Sans Condensed" size="18" color="#FFFFFF">Stir it in.</font>', "Stir it in."),
        (f"<v {'C' * 199}>Stir it in.</v>", "Stir it in."),  # a letter and 200 more
        (f"<v {'C' * 200}>Stir it in.</v>", f"<v {'C' * 200}>Stir it in."),
        (f"</font{' ' * 40}>Stir it in.", "Stir it in."),
        ("{\\an8\\pos(192,240)\\fad(200,200)\\c&H00FFFF&\\fs20}Stir it in.", "Stir it in."),
        (f"{{\\{'k' * 200}}}Stir it in.", "Stir it in."),
        (f"{{\\{'k' * 201}}}Stir it in.", f"{{\\{'k' * 201}}}Stir it in."),
        ("Less than <5 g, more than 2 > 1, {of it}.", "Less than <5 g, more than 2 > 1, {of it}."),
        (f"Less than <b and {'so ' * 70} on >.", f"Less than <b and {'so ' * 70} on >."),
    ],
)
def test_a_tag_or_code_is_no_text_however_much_it_says_up_to_200_letters(text: str, read: str) -> None:
    assert without_markup(text) == read
    assert plain_lines(text, "srt") == (read,)


def test_the_width_of_a_line_is_that_of_its_words() -> None:
    tag = '<font face="Harbour Sans Condensed" size="18" color="#FFFFFF">'
    cue = f"1\n00:00:01,000 --> 00:00:06,000\n{tag}Stir it in.</font>\n"
    assert proof(Sheet(parse_captions(cue, "f.srt"), profiles()["streaming"])) == []


@pytest.mark.parametrize("part", ["<b", "<b ", "<", "{\\", "{\\k", "</b <", "<00:", "<b {\\"])
def test_a_million_tags_that_never_end_are_read_at_once(part: str) -> None:
    """A reader that began anew at each of them would take hours."""
    text = part * 1_000_000
    assert without_markup(text) == text
    assert without_markup(f"{part} {'x' * 1_000_000}") == f"{part} {'x' * 1_000_000}"
