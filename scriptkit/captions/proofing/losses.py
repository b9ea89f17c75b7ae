"""What a caption file would lose where it is written again: told before anything is written."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Iterable, Sequence

from scriptkit.captions.composing.line_breaking import pieces
from scriptkit.problems import Place, Problem, error, note
from scriptkit.timed_text.around_cues import AFTER_BLANK, BY_TIMES, LATE
from scriptkit.timed_text.encodings import STRAY, UNSURE
from scriptkit.timed_text.markup import MARKUP, plain_lines
from scriptkit.timed_text.mending import beside
from scriptkit.timed_text.reading import CaptionFile, ReadCue

IN_NO_CUE = ("broken-time", "stray-text")


def would_be_lost(file: CaptionFile, target: str = "") -> list[Problem]:
    """Why the file must not be written again as it was read: words that stand in no cue, letters that may be others. ``target``: the
    file to write, which the hint names unless it is the file itself."""
    found = []
    stray = sorted({p.place.line for p in file.repairs if p.code in IN_NO_CUE}) if file.source is None else []
    if stray:
        more = f" and on {len(stray) - 1} more" if stray[1:] else ""
        message = f"nothing was written: words on line {stray[0]}{more} stand in no cue, and would be lost"
        hint = "write their times over them, as over the other cues, or take them out"
        found.append(error(Place(file.file), "words-lost", message, hint))
    if unsure := next((p for p in file.repairs if p.code == UNSURE), None):
        named = target if target and target != file.file else beside(file.file)
        hint = unsure.hint.replace(f"--fix {shlex.quote(beside(file.file))}`", f"--fix {shlex.quote(named)}`")
        message = "nothing was written: the encoding is not sure, and letters could become others"
        found.append(error(unsure.place, "encoding", message, hint))
    return found


_TAKEN = {
    STRAY: ("read as", "written as", "check the word"),
    AFTER_BLANK: ("read as", "written as", "check that it belongs there"),
    BY_TIMES: ("read as", "written as", "check that it belongs there"),
    LATE: ("stands after the first cue, where players pass over it", "stood after the first cue: moved before it", ""),
}
"""What was read where it does not stand as such: the words of its problem before and after it is written, and what to do then."""


def taken_as(file: CaptionFile) -> list[Problem]:
    """A note for all that the written file has in another place, or with another letter, than the one that was read."""
    found = [p for p in file.repairs if p.code in _TAKEN]
    return [note(p.place, p.code, p.message.replace(*_TAKEN[p.code][:2]), _TAKEN[p.code][2]) for p in found]


def bag_of(cues: Iterable[ReadCue], kind: str) -> Counter[str]:
    """How often each word and each tag stands in them. Of writing without spaces, as Chinese, each part that a line may end after: a
    line of it that is broken in two has lost nothing."""
    bag: Counter[str] = Counter()
    for cue in cues:
        words = (word for line in plain_lines(cue.text, kind) for word in line.split())
        bag.update(words if cue.text.isascii() else (part for word in words for _, part in pieces(word)))
        bag.update(MARKUP.findall(cue.text))
    return bag


def lost_by_repair(
    before: Sequence[ReadCue], after: Sequence[ReadCue], taken_out: Counter[str], file: CaptionFile
) -> list[Problem]:
    """Words and tags that are neither in the repaired cues nor ``taken_out`` on purpose, or that came from nowhere: then the
    repair is wrong, and must not be written."""
    kept = bag_of(after, file.kind)
    kept.update(taken_out)
    was = bag_of(before, file.kind)
    lost, new = was - kept, kept - was
    if not lost and not new:
        return []
    shown = ", ".join(f"“{word}”" for word in [*lost, *new][:3])
    line = next((c.line for c in before if any(w in c.text for w in lost)), 1)
    message = f"nothing was written: the repair would {'lose' if lost else 'add'} {shown}"
    return [
        error(Place(file.file, line), "words-lost", message, "please report it; until then correct the file by hand")
    ]
