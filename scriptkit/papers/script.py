"""What the script prints: two columns for the page, and the lines alone for reading aloud."""

from __future__ import annotations

import bisect
import itertools
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.words import spoken_words
from scriptkit.papers.ovens import AFTER_THE_FIRST, hours_after
from scriptkit.papers.tables import Column, Head, Span, TableCell, cells_of, heads_of
from scriptkit.problems import printable
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.shooting_order import CoverageOrder
from scriptkit.shoot.plan import CLOSING, OPENING
from scriptkit.shoot.script.narration import line_ms, sentences, words_for
from scriptkit.shoot.script.script import Passage, Script, SpokenShot
from scriptkit.shoot.script.script_checks import UNHEARD_MS
from scriptkit.shoot.script.spoken_cautions import cautions_to_say

WIDEST = 44
"""Characters in a line that is read aloud: an eye keeps its place in large type (common practice, no source)."""
_SOUND_WORDS = {"SYNC": "To camera", "VO": "Voice-over", "MOS": "No sound"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A caution that can be said, with how long that takes; ``first``: before the line of the act."""

    head: str
    text: str
    first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptRow:
    """A shot with its part of the narration. What there is none of is empty; ``offered`` stand at a passage's first shot,
    ``over`` (how much longer its words are than its picture) at its last."""

    slate: str
    picture: str
    look: str
    step: str
    sound: str
    sound_words: str
    to_camera: bool
    text: str
    runs_on: bool
    said: str
    planned: str
    running: str
    back: str
    offered: tuple[Offer, ...]
    over: str

    @property
    def cells(self) -> tuple[TableCell, ...]:
        """Its cells on the page."""
        return cells_of(self, COLUMNS)


def _video(row: ScriptRow) -> tuple[Span, ...]:
    step = f", step\N{NO-BREAK SPACE}{row.step}" if row.step else ""
    return Span(row.picture), Span(f"{row.look}{step}", "small")


def _audio(row: ScriptRow) -> tuple[Span, ...]:
    return (
        Span(row.sound_words or row.sound, "sound"),
        *(Span(offer.text, "offer", lead=offer.head) for offer in row.offered if offer.first),
        *((Span("… runs on", "small"),) if row.runs_on else ()),
        *((Span(row.text, "line"),) if row.text else ()),
        *((Span(row.over, "care"),) if row.over else ()),
        *(Span(offer.text, "offer", lead=offer.head) for offer in row.offered if not offer.first),
    )


def _time(row: ScriptRow) -> tuple[Span, ...]:
    return (Span(row.said, "strong"), Span(f"of {row.planned}", "of")) if row.said else (Span(row.planned, "of"),)


COLUMNS: tuple[Column[ScriptRow], ...] = (
    Column(heading="Shot", cls="slate", width=8, spans=lambda r: (Span(r.slate, "strong"),)),
    Column(heading="Video", cls="video", width=30, spans=_video),
    Column(heading="Audio", cls="audio", width=35, spans=_audio),
    Column(heading="Spoken\N{NO-BREAK SPACE}/ planned", cls="num time", head_cls="num", width=13, spans=_time),
    Column(
        heading="Ends\N{NO-BREAK SPACE}/ remaining",
        cls="num small run",
        head_cls="num",
        width=14,
        spans=lambda r: (Span(r.running), Span(r.back, new_line=True)),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptSection:
    """Rows that belong together, in the order of the cut."""

    title: str
    rows: tuple[ScriptRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptPage:
    """The values of script.html: ``words`` are said in ``said`` at ``rate`` words a minute, ``to_camera`` at these slates."""

    heads: tuple[Head, ...]
    sections: tuple[ScriptSection, ...]
    rate: str
    said: str
    words: int
    length: str
    to_camera: tuple[str, ...]


def two_columns(script: Script, cautions: Sequence[Caution] = ()) -> ScriptPage:
    """Sections of the script in the order of the cut, a row a shot, with its facts."""
    sections = [
        ScriptSection(title=title, rows=tuple(row for p in passages for row in _rows(p, script, cautions)))
        for title, passages in itertools.groupby(script.passages, key=_title)
    ]
    rates = sorted({p.rate for p in script.passages})
    return ScriptPage(
        heads=heads_of(COLUMNS),
        sections=tuple(sections),
        rate=" and ".join(f"{rate:g}" for rate in rates),
        said=_seconds(script.spoken_ms),
        words=sum(len(spoken_words(p.text)) for p in script.passages),
        length=format_clock(script.plan.length_ms),
        to_camera=tuple(row.shot.slate for p in script.passages for row in p.rows if row.to_camera),
    )


def _rows(passage: Passage, script: Script, cautions: Sequence[Caution]) -> Iterator[ScriptRow]:
    offered = _offers(passage, cautions)
    for n, row in enumerate(passage.rows):
        first, last = n == 0, n == len(passage.rows) - 1
        on = itertools.takewhile(lambda one: one.runs_on and not one.text, passage.rows[n + 1 :])
        end_ms = max([row.shot.end_ms, *(one.shot.end_ms for one in on)])
        yield _row(row, passage, script, offered if first else (), _over(passage) if last else "", end_ms)


def _title(passage: Passage) -> str:
    segment = passage.segment
    if segment.step is not None and segment.dish is not None:
        return f"{'Prep' if segment.step.stage == 'prep' else 'Cook'}: {segment.dish.name}"
    if segment.kind == CLOSING and segment.dish is not None:
        return f"{segment.dish.name}: plated"
    return "Opening" if segment.kind == OPENING else "The whole plate"


def _row(
    row: SpokenShot, passage: Passage, script: Script, offered: tuple[Offer, ...], over: str, end_ms: int
) -> ScriptRow:
    """``end_ms``: when the last shot ends over which its line runs on."""
    shot = row.shot
    said_ms = row.said_to_ms - row.said_from_ms
    return ScriptRow(
        slate=shot.slate,
        picture=shot.what,
        look=", ".join(part for part in (shot.look.kind, shot.look.seen_from) if part),
        step=str(passage.segment.step.number) if passage.segment.step else "",
        sound=shot.sound,
        sound_words=_SOUND_WORDS.get(shot.sound, ""),
        to_camera=row.to_camera,
        text=row.text,
        runs_on=row.runs_on,
        said=_seconds(said_ms) if said_ms else "",
        planned=format_duration((end_ms if said_ms else shot.end_ms) - shot.start_ms),
        running=format_clock(shot.end_ms),
        back=f"−{format_clock(script.plan.length_ms - shot.end_ms)}",
        offered=offered,
        over=over,
    )


def _offers(passage: Passage, cautions: Iterable[Caution]) -> tuple[Offer, ...]:
    """Spoken lines of the cautions that apply at the step, each once: before the line of the act what can hurt, after it what is
    read when the food is checked. Over a picture without sound nothing can be said, so there all come before it."""
    silent = all(row.shot.sound == "MOS" for row in passage.rows)
    told = cautions_to_say(passage, cautions)
    when = {(True, False): " before", (True, True): " before", (False, False): " first", (False, True): ""}
    return tuple(
        Offer(
            text=line,
            head=f"Caution to say{when[silent, measured]}, {_seconds(line_ms(line, passage.rate))}:",
            first=silent or not measured,
        )
        for line, measured in told.items()
    )


def _over(passage: Passage) -> str:
    if passage.over_ms < UNHEARD_MS:
        return ""
    count = words_for(passage.over_ms, passage.rate)
    return f"{_seconds(passage.over_ms)} longer than the picture: cut about {count} word{'' if count == 1 else 's'}"


def _seconds(ms: int) -> str:
    """Whole seconds: an estimate is no finer."""
    return format_duration(max(round_half_up(ms / 1000), 1 if ms else 0) * 1000)


# --- for reading aloud ------------------------------------------------------------------------------------------------


def reading_text(script: Script, cautions: Sequence[Caution] = (), order: CoverageOrder | None = None) -> str:
    """The lines alone, short and far apart, a sentence a paragraph, with the scene, its sound and its time over them. With an
    ``order``, in that of the day, as they are spoken on set; else in the film's."""
    facts = two_columns(script)
    out = [
        script.plan.title,
        "=" * len(script.plan.title),
        f"{facts.words} words, about {facts.said} at {facts.rate} words a minute, in {facts.length} of picture.",
        "To camera: spoken while it is filmed. Voice-over: recorded later.",
        *([f"In the order of the day; script.html is in the order of the film. {AFTER_THE_FIRST}"] if order else []),
    ]
    title = ""
    for passage in _of_the_day(script.passages, order):
        if _title(passage) != title:
            title = _title(passage)
            out += ["", title, "-" * len(title)]
        out += ["", _scene(passage, order), ""]
        offers = _offers(passage, cautions)
        out += (line for offer in offers if offer.first for line in _offer_lines(offer))
        for sentence in sentences(passage.text):
            out += [*(f"    {line}" for line in _even(sentence)), ""]
        if not passage.text:
            out += ["    (no narration)", ""]
        out += (line for offer in offers if not offer.first for line in _offer_lines(offer))
    return "\n".join(printable(line).rstrip() for part in out for line in part.split("\n")) + "\n"


def _offer_lines(offer: Offer) -> list[str]:
    return [*(f"  | {part}" for part in _wrapped(f"{offer.head} {offer.text}")), ""]


def _of_the_day(passages: Sequence[Passage], order: CoverageOrder | None) -> Sequence[Passage]:
    if order is None:
        return passages
    place = {shot.number: n for n, shot in enumerate(order.cooked)}
    return sorted(passages, key=lambda p: min((place[row.shot.number] for row in p.rows), default=len(place)))


def _even(text: str) -> list[str]:
    """As few lines as it needs, none much shorter than the others."""
    most = len(_wrapped(text))
    if most < 2:
        return _wrapped(text)
    widths = range(WIDEST // 2, WIDEST + 1)
    narrowest = bisect.bisect_left(widths, -most, key=lambda width: -len(_wrapped(text, width)))
    return _wrapped(text, widths[narrowest])


def _wrapped(text: str, width: int = WIDEST) -> list[str]:
    """*Thirty-one* stays in one line."""
    words = text.split(" ")
    if text.isprintable() and all(0 < len(word) <= width for word in words):  # as textwrap does it, and sooner
        lines = [words[0]]
        for word in words[1:]:
            if len(lines[-1]) + 1 + len(word) <= width:
                lines[-1] += f" {word}"
            else:
                lines.append(word)
        return lines
    return textwrap.wrap(text, width, break_on_hyphens=False)


def _scene(passage: Passage, order: CoverageOrder | None) -> str:
    """``7  soften-fennel  VO  6 s of 22 s  at 0:04``: when in the day the step begins."""
    segment = passage.segment
    sounds = "/".join(dict.fromkeys(_SOUND_WORDS.get(row.shot.sound, row.shot.sound).lower() for row in passage.rows))
    name = segment.step.id if segment.step else segment.kind
    time = (
        f"{_seconds(passage.spoken_ms)} of {format_duration(segment.length_ms)}"
        if passage.text
        else format_duration(segment.length_ms)
    )
    over = _over(passage)
    starts = [order.start_min.get(row.shot.number) for row in passage.rows] if order else []
    at = f"  at {hours_after(starts[0])}" if starts and starts[0] is not None else ""
    return f"{segment.scene}  {name}  {sounds}  {time}{at}" + (f"  ({over})" if over else "")
