"""Sentences in which the maker admits that something was not filmed."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.cut.placing.mention_matcher import telling_words
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.stems import plain, stem, words_in
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Meal, Step

# How makers say it (common practice, no source). What was filmed after all is no gap: “I did not forget to film it”.
_SHOT = r"(?:film|record|shoot|show|shot|filmed|recorded|shown|capture|captured|get (?:it|that|this|a shot|the shot)|catch|caught|tape)"
_GAPS = (
    rf"\b(?:forgot|forgotten|forget|failed|neglected|managed not|omitted) to (?:\w+ )?{_SHOT}",
    rf"\b(?:did not|didn't|have not|haven't|had not|hadn't|never|wasn't able to|could not|couldn't|was not able to) (?:actually |quite |even |really )?{_SHOT}",
    r"\bnever (?:got|get)\b[^.;!?]{0,25}\bon (?:camera|film|tape|video)\b",
    r"\b(?:wasn't|weren't|was not|were not|isn't|not) (?:actually )?(?:filmed|recorded|shown|captured|on (?:the )?(?:camera|film|video|tape)|in (?:the )?(?:shot|frame|picture))",
    r"\boff[- ]camera\b|\boff[- ]screen\b|\bout of (?:the )?(?:shot|frame)\b",
    r"\b(?:you|we) (?:did not|didn't|couldn't|could not|can't|cannot|won't|never|don't|do not) (?:actually |quite )?(?:see|saw) (?:this|it|me|that|us|them|the)\b",
    r"\bcamera (?:had |has )?(?:died|stopped|cut out|wasn't (?:rolling|running|recording|on))\b|\bcamera (?:was|had|went|ran|switched|turned|cut)\b[^.;!?]{0,40}\b(?:off|not rolling|not running|not recording|not on|out|dead|full)\b",
    r"\b(?:missed|lost|missing) (?:the |that |this |a |my )?(?:shot|clip|footage|take|bit|part)\b|\b(?:footage|clip|recording) (?:is|was|got|has been) (?:missing|lost|gone|corrupt\w*)",
    r"\bforgot to (?:press|hit|push|turn|switch|start|roll)\b[^.;!?]{0,20}\b(?:record|camera|on|rolling)\b",
    r"\b(?:should|could|would)(?:'ve| have) (?:video|film|record|show|shot)\w*",
    r"\bbattery (?:died|ran out|went)\b|\bcard (?:was|got|ran) full\b",
)  # fmt: skip
_LETTERS = (
    ("film", "record", "camera", "screen", "shot", "show", "saw", "see", "footage", "clip", "battery", "card", "catch", "caught",
     "captur", "tape", "shoot", "frame", "video"),
    ("n't", "not", "never", "'ve", "have", "forg", "fail", "neglect", "omit", "miss", "lost", "gone", "off", "out", "died", "stopped", "full"),
)  # fmt: skip
"""A sentence without letters of each kind admits no gap; the patterns are only made where one has them."""
_NO_GAPS = (
    r"\b(?:camera (?:was|is) (?:rolling|running|on|recording)\b|(?:did not|didn't|don't|do not|never|won't) forget to|don't (?:see|show) (?:the|any) (?:point|need))|"
    r"\byou (?:can't|cannot|won't|don't|do not) see (?:the (?:bottom|difference|point|inside|steam|smoke)|it (?:yet|from))|never (?:show|film)s?\b"
)


@functools.cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    return re.compile("|".join(_GAPS)), re.compile(_NO_GAPS)


_SENTENCE = re.compile(r"(?<=[.!?;])\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """``addition`` is None where the sentence names none, and the sentences beside it neither; then ``step`` and ``dish`` are
    too. ``words`` are the sentence."""

    time_ms: int
    line: SpokenLine
    words: str
    dish: Dish | None
    step: Step | None
    addition: Addition | None


def admissions_in(source: Dish | Meal, transcript: Transcript) -> tuple[Admission, ...]:
    """Every admitted gap, one for each addition that it names; of an addition that goes in at several steps, the step whose
    words stand nearest."""
    sentences = list(_sentences(transcript.lines))
    additions = [(dish, step, a) for dish in dishes_of_the_day(source) for step in dish.steps for a in step.additions]
    found = []
    for n, (line, at_ms, words) in enumerate(sentences):
        told = plain(words)
        if not all(any(some in told for some in kind) for kind in _LETTERS) or not _admits(told):
            continue
        named = _named(words, additions)
        for other in (n + 1, n - 1):  # “Oh, I forgot to film this bit. The mustard goes in now.”
            if not named and 0 <= other < len(sentences) and abs(sentences[other][1] - at_ms) < 15_000:
                named = _named(sentences[other][2], additions)
        around = " ".join(text for _, _, text in sentences[max(0, n - 3) : n + 4])
        for one in _one_step_each(named, around) or [None]:
            dish, step, addition = one or (None, None, None)
            found.append(Admission(time_ms=at_ms, line=line, words=words, dish=dish, step=step, addition=addition))
    return tuple(found)


def _admits(told: str) -> bool:
    gap, no_gap = _patterns()
    return gap.search(told) is not None and no_gap.search(told) is None


Going = tuple[Dish, Step, Addition]


def _sentences(lines: Sequence[SpokenLine]) -> Iterator[tuple[SpokenLine, int, str]]:
    """Sentences, also those that run over several lines, with the line and the time at which each begins."""
    open_line, open_ms, words = None, 0, ""
    for line in lines:
        parts = _SENTENCE.split(line.text)
        length = len(line.text) or 1
        at = 0
        for part in parts:
            if open_line is None:
                open_line, open_ms = line, line.start_ms + (line.end_ms - line.start_ms) * at // length
            words = f"{words} {part}".strip()
            at += len(part) + 1
            if part.rstrip().endswith((".", "!", "?", ";")) or len(words) > 300:
                yield open_line, open_ms, words
                open_line, words = None, ""
    if open_line is not None and words:
        yield open_line, open_ms, words


def _named(words: str, additions: Sequence[Going]) -> list[Going]:
    """The additions whose name the words tell: all of its telling words, where any addition has them, else some of them."""
    said = {stem(w) for w in words_in(words)}
    told = [(one, {stem(w) for w in telling_words(words_in(one[2].ingredient.name))}) for one in additions]
    whole = [one for one, names in told if names and names <= said]
    return whole or [one for one, names in told if names & said]


def _one_step_each(named: Sequence[Going], around: str) -> list[Going | None]:
    """For each ingredient the step that the words around it speak of most."""
    said = {stem(w) for w in words_in(around)}
    best: dict[tuple[str, str], tuple[int, Going]] = {}
    for one in named:
        dish, step, addition = one
        score = len(said & {stem(w) for w in step.reading.words})
        key = (dish.name, addition.ingredient.key)
        if key not in best or score > best[key][0]:
            best[key] = (score, one)
    return [one for _, one in best.values()]
