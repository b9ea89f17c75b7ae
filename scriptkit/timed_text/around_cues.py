"""What stands around the cues of a SubRip or WebVTT file: head, NOTE and late blocks, and words that no times stand over."""

from __future__ import annotations

import re
from collections.abc import Sequence

from scriptkit.problems import Place, Problem, warning
from scriptkit.timed_text.mending import fix_command

AFTER_BLANK, BY_TIMES, LATE = "after-blank", "by-times", "late-block"
"""Codes of what is read as a part of a cue, or of the head, where it does not stand as one."""

_BLOCKS = ("NOTE", "STYLE", "REGION")
_HEADER = re.compile(r"[A-Za-z][\w-]{0,40}(?:[:=].*)")
_COORDINATES = re.compile(r"(?:[A-Za-z]\w{0,20}:\S+[ \t]*)*")
"""``X1:40 X2:600 Y1:20 Y2:50`` of some players, and settings of WebVTT."""


def note_of(between: str, line: int, file: str, told: list[Problem], late: list[str]) -> str:
    """The NOTE blocks among the lines between two cues of WebVTT; STYLE and REGION are added to ``late``, and anything else there is
    told."""
    kept = []
    at = 0
    for block in between.split("\n\n"):
        text = block.strip("\n")
        if text.startswith("NOTE"):
            kept.append(text)
        elif text.strip():
            blank = block[: len(block) - len(block.lstrip())].count("\n")
            place = Place(file, line + at + blank)
            shown = text.strip().splitlines()[0][:40]
            if text.startswith(("STYLE", "REGION")):
                late.append(text)
                message = f"“{shown}” stands after the first cue, where players pass over it"
                told.append(warning(place, LATE, message, f"move it before the first cue: `{fix_command(file)}` does"))
            else:
                hint = "write its times over it; or NOTE, to keep it as a remark; or delete it"
                told.append(warning(place, "stray-text", f"“{shown}” belongs to no cue", hint))
        at += block.count("\n") + 2
    return "\n\n".join(kept)


def before_first(before: str, file: str) -> list[Problem]:
    """Words before the first cue of SubRip."""
    lines = before.split("\n")
    n = next((n for n, line in enumerate(lines) if line.strip()), None)
    if n is None:
        return []
    hint = "write its times over it, or delete it"
    return [warning(Place(file, n + 1), "stray-text", f"text before the first cue: “{lines[n].strip()[:40]}”", hint)]


def subrip_text(beside: str, body: str, line: int, file: str, told: list[Problem]) -> tuple[str, str]:
    """What stands beside the times of a cue of SubRip on line ``line``, where that is no words, and the text under it; what is read as a
    part of that text and does not stand as one is told."""
    if "\n\n" in body or "\n " in body or "\n\t" in body:
        told += _after_blank(body, line + 1, file)
    if not beside or _COORDINATES.fullmatch(beside):
        return beside, body
    message = f"“{beside[:40]}” stands on the line of times: read as the first line of the cue"
    told.append(warning(Place(file, line), BY_TIMES, message, f"write it under the times: `{fix_command(file)}` does"))
    return "", f"{beside}\n{body}".rstrip("\n")


def _after_blank(body: str, line: int, file: str) -> list[Problem]:
    """Words in a cue of SubRip that stand after a blank line, told once a cue; ``line``: that of the first line of ``body``."""
    rows = body.split("\n")
    first = next((n for n, row in enumerate(rows) if row.strip()), len(rows))
    blank = next((n for n in range(first, len(rows)) if not rows[n].strip()), len(rows))
    n = next((n for n in range(blank, len(rows)) if rows[n].strip()), None)
    if n is None:
        return []
    shown = " ".join(rows[n].split())[:40]
    message = (
        f"“{shown}” stands after a blank line, without times of its own: read as part of the cue on line {line - 1}"
    )
    belongs = f"if it belongs to the cue above, delete the blank line: `{fix_command(file)}` does"
    hint = f"{belongs}; if not, write a number and times over it"
    return [warning(Place(file, line + n), AFTER_BLANK, message, hint)]


def signature(lines: Sequence[str], file: str) -> list[Problem]:
    """A WebVTT file begins with WEBVTT, words after a space if any, and a blank line (W3C). Lines of a header (``Kind: captions``, and
    the time stamp of a stream, which must stand there: RFC 8216, 3.5) are passed over by every reader."""
    if not re.fullmatch(r"WEBVTT(?:[ \t].*)?", lines[0]):
        return [
            warning(Place(file), "vtt-signature", f"“{lines[0][:40]}” does not begin a WebVTT file", "write WEBVTT")
        ]
    if (under := _under_signature(lines)) and not _is_header(under):
        message = f"“{under[0][:40]}” stands right under WEBVTT"
        return [warning(Place(file, 2), "vtt-signature", message, f"leave a blank line: `{fix_command(file)}` does")]
    return []


def title_of(before: str) -> str:
    """What stands after WEBVTT on its line, and the header right under it."""
    lines = before.split("\n")
    under = _under_signature(lines)
    return "\n".join([lines[0][len("WEBVTT") :].strip(), *(under if _is_header(under) else ())]).rstrip()


def head_of(before: str) -> tuple[str, ...]:
    """The blocks before the first cue, the first line and the header under it apart."""
    lines = before.split("\n")
    under = _under_signature(lines)
    rest = lines[1 + (len(under) if _is_header(under) else 0) :]
    return tuple(b.strip("\n") for b in "\n".join(rest).split("\n\n") if b.strip())


def in_no_cue(before: str, file: str) -> list[Problem]:
    """Words among the blocks before the first cue of WebVTT: they stay there, and no player shows them."""
    told = []
    lines = before.split("\n")
    at = 1 + (len(under) if _is_header(under := _under_signature(lines)) else 0)
    for n in range(at, len(lines)):
        begins = lines[n].strip() and (n == at or not lines[n - 1].strip())
        if begins and not lines[n].startswith(_BLOCKS):
            message = f"“{lines[n].strip()[:40]}” stands before the first cue, where no player shows it"
            hint = "write its times over it; or NOTE, to keep it as a remark; or delete it"
            told.append(warning(Place(file, n + 1), "before-cues", message, hint))
    return told


def _under_signature(lines: Sequence[str]) -> list[str]:
    blank = next((n for n in range(1, len(lines)) if not lines[n].strip()), len(lines))
    return list(lines[1:blank])


def _is_header(lines: Sequence[str]) -> bool:
    return bool(lines) and all(_HEADER.fullmatch(line) and "-->" not in line for line in lines)
