"""A caption profile of one's own: what it takes over, and how each slip in it is told, word for word."""

from __future__ import annotations

from pathlib import Path

import pytest

from scriptkit.captions.limits import least_ms
from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import LONGEST_SOURCE, MOST_BYTES, profile_of, profiles
from scriptkit.problems import CannotDo

KEYS = (
    "one of aspect, characters_a_second, font_percent, gap_frames, gap_ms, line_length, lines, longest_ms, ms_a_word, "
    "safe_percent, shortest_ms, sliver_ms, source, words_a_minute"
)

SLIPS = [
    ("line_lenght: 30", 1, "unknown-key", "“line_lenght” is not a key of a profile", "did you mean `line_length`?"),
    ("harbour: 3", 1, "unknown-key", "“harbour” is not a key of a profile", KEYS),
    (f"source: {'x' * (LONGEST_SOURCE + 1)}", 9, "wrong-value", "`source` is a line of text", f"write at most {LONGEST_SOURCE} characters"),
    ("source: [a]", 9, "wrong-value", "`source` is a line of text", f"write at most {LONGEST_SOURCE} characters"),
    ("aspect: tall", 9, "wrong-value", "`aspect` is width:height", 'write "16:9" or "9:16"'),
    ("lines: none", 8, "wrong-value", "`lines` must be a figure above zero", "write `lines: 2`, say"),
    ("safe_percent: 100.5", 15, "wrong-value", "`safe_percent` is a share of the picture", "write 100 or less"),
    ("font_percent: 101", 15, "wrong-value", "`font_percent` is a share of the picture", "write 100 or less"),
    ("shortest_ms: 0.4", 14, "wrong-value", "`shortest_ms` is a whole figure", "write `shortest_ms: 1`"),
    ("lines: 2.7", 8, "wrong-value", "`lines` is a whole figure", "write `lines: 3`"),
    ("lines: 0", 8, "wrong-value", "`lines` must be a figure above zero", "write `lines: 2`, say"),
    ("shortest_ms: 7001", 14, "impossible-profile", "no cue can last at least 7001 ms (`shortest_ms`) and at most 7000 ms (`longest_ms`)",
     "write a `shortest_ms` of 7000 or less, or a larger `longest_ms`"),
    ("longest_ms: 500", 13, "impossible-profile", "no cue can last at least 833 ms (`shortest_ms`) and at most 500 ms (`longest_ms`)",
     "write a `shortest_ms` of 500 or less, or a larger `longest_ms`"),
    ("ms_a_word: 8000", 12, "impossible-profile", "no cue can last at least 8000 ms (`ms_a_word`) and at most 7000 ms (`longest_ms`)",
     "write a `ms_a_word` of 7000 or less, or a larger `longest_ms`"),
    ("characters_a_second: 0.1", 22, "impossible-profile", "one character needs 10000 ms, and a cue lasts at most 7000 ms",
     "write a larger `characters_a_second`, or a larger `longest_ms`"),
    ("like: [streaming]", 7, "profile", "there is no profile of that name", "write `like: "),
    ("like: streeming", 7, "profile", "there is no profile called “streeming”", "write `like: "),
    ("- streaming", 1, "profile", "a profile is a group of `key: value` lines", "start with `like: streaming`"),
]  # fmt: skip


def refused(path: Path) -> CannotDo:
    with pytest.raises(CannotDo) as wrong:
        profile_of(str(path))
    return wrong.value


@pytest.mark.parametrize(("text", "column", "code", "message", "hint"), SLIPS)
def test_a_slip_is_told_where_it_stands(
    text: str, column: int, code: str, message: str, hint: str, tmp_path: Path
) -> None:
    path = tmp_path / "quay.yaml"
    path.write_text(text + "\n", encoding="utf-8")
    wrong = refused(path)
    (problem,) = wrong.problems
    assert (problem.place.file, problem.place.line, problem.place.column) == (str(path), 1, column)
    assert (problem.code, problem.message) == (code, message)
    assert problem.hint == hint or (hint.endswith(" ") and problem.hint.startswith(hint))
    assert next(iter(wrong.lines[str(path)])) == text


def test_the_published_ones_are_offered(tmp_path: Path) -> None:
    path = tmp_path / "quay.yaml"
    path.write_text("like: streeming\n", encoding="utf-8")
    (problem,) = refused(path).problems
    assert all(name in problem.hint for name in profiles())


def test_a_file_that_is_no_text_or_no_profile_at_all_is_told(tmp_path: Path) -> None:
    path = tmp_path / "quay.yaml"
    path.write_bytes(b"source: caf\xe9\n")
    (problem,) = refused(path).problems
    assert (problem.place.file, problem.code) == (str(path), "profile")
    assert problem.message == "the profile cannot be read: it is not UTF-8 text"
    assert problem.hint == "save it as UTF-8 in your editor"
    path.write_bytes(b"#" * (MOST_BYTES + 1))
    (problem,) = refused(path).problems
    assert (problem.place.file, problem.code) == (str(path), "too-large")
    assert (problem.message, problem.hint) == ("a profile has a few lines", "check which file this is")


def test_what_is_written_stands_and_the_rest_is_that_of_the_one_that_it_is_like(tmp_path: Path) -> None:
    path = tmp_path / "quay.yaml"
    own = f"like: education\nlines: 3\nsafe_percent: 100\nfont_percent: 4.5\nsource: {'x' * LONGEST_SOURCE}\n"
    path.write_text(own + "#" * (MOST_BYTES - len(own)), encoding="utf-8")
    made, like = profile_of(str(path)), profiles()["education"]
    assert (made.name, made.lines, made.limits["safe_percent"], made.font_percent) == ("quay", 3, 100.0, 4.5)
    assert made.source == "x" * LONGEST_SOURCE
    assert (made.line_length, made.longest_ms, made.aspect) == (like.line_length, like.longest_ms, like.aspect)
    path.write_text("lines: 1\n", encoding="utf-8-sig")
    assert profile_of(str(path)).longest_ms == profiles()["streaming"].longest_ms
    path.rename(tmp_path / "pier.yml")
    assert profile_of(str(tmp_path / "pier.yml")).name == "pier"


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("streeming", "did you mean streaming?"),
        ("harbour.txt", f"one of {', '.join(profiles())}, or your own file (.yaml)"),
    ],
)
def test_a_name_of_none_is_told_with_what_there_is(name: str, hint: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        profile_of(name)
    (problem,) = wrong.value.problems
    assert (problem.place.file, problem.code) == ("--profile", "option")
    assert (problem.message, problem.hint) == (f"there is no profile called “{name}”", hint)


def test_how_long_a_text_stands_by_its_characters_its_words_and_its_least_time() -> None:
    """16 characters, as the spaces are read, and 3 words."""
    text = "Stir  the  mustard"
    bare = Profile(name="bare", source="", limits={"line_length": 42, "lines": 2})
    for own, least in (
        ({}, 0),
        ({"characters_a_second": 16}, 1_000),
        ({"words_a_minute": 160}, 1_125),
        ({"ms_a_word": 330}, 990),
        ({"ms_a_word": 330, "characters_a_second": 16, "words_a_minute": 160}, 1_125),
        ({"ms_a_word": 330, "shortest_ms": 1_500}, 1_500),
    ):
        assert least_ms(text, bare.with_limits(**own)) == least
