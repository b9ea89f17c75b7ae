"""Letters of UTF-8 that were once read as windows-1252 and written so (*crÃ¨me*, *itâ€™s*): found, and what they were."""

from __future__ import annotations

import re
import unicodedata


def _byte_of() -> dict[str, int]:
    """Each letter beyond ASCII of windows-1252; where that has none, programs take the control character of the byte."""
    letters = {chr(byte): byte for byte in range(0x80, 0xA0)}
    for byte in range(0x80, 0x100):
        letters[bytes([byte]).decode("cp1252", errors="ignore") or chr(byte)] = byte
    return letters


_BYTES = _byte_of()
_RUN = re.compile("[{}]{{2,}}".format("".join(map(re.escape, _BYTES))))
_ROUNDS = 3
"""Some files were garbled more than once."""
_WESTERN = "ÂÃ"
"""What the first half of é, ½ and their neighbours reads as."""
_APOSTROPHES = "‘’"
_LEAST_OF_SCRIPT = 3
"""Letters of another script in a row: fewer could be chance."""


def as_meant(text: str) -> str:
    """The text with every letter that was surely garbled as it was; what could be meant as it stands stays.

    >>> as_meant("Whisk the crÃ¨me, itâ€™s 2Â½ dl"), as_meant("VOILÀ “CAFÉ”")
    ('Whisk the crème, it’s 2½ dl', 'VOILÀ “CAFÉ”')
    """
    if text.isascii():
        return text
    for _ in range(_ROUNDS):
        if _RUN.sub(_run_as_meant, text) == text:
            break
        text = _RUN.sub(lambda run: _run_as_meant(run, known=True), text)  # one that is sure stands for its neighbours
    return text


def garbled_words(text: str) -> list[tuple[str, str]]:
    """Each word of the text that has garbled letters, with what it was.

    >>> garbled_words("A crÃ¨me and a pÃ¢té.")
    [('crÃ¨me', 'crème'), ('pÃ¢té', 'pâté')]
    """
    if text.isascii() or (meant := as_meant(text)) == text:
        return []
    pairs = zip(re.split(r"[ \t\r\n]+", text), re.split(r"[ \t\r\n]+", meant), strict=False)
    return [(_bare(word), _bare(was)) for word, was in pairs if word != was]


def _bare(word: str) -> str:
    return word.strip(".,;:!?()")


def _run_as_meant(found: re.Match[str], *, known: bool = False) -> str:
    """What a run of letters beyond ASCII was, letter by letter; ``known``: that the text is garbled."""
    run, text = found.group(), found.string
    raw = bytes(_BYTES[letter] for letter in run)
    read: list[tuple[str, int]] = []  # each letter, and of how many it was made
    at = 0
    while at < len(raw):
        letter = _letter_at(raw, at)
        read.append((letter or run[at], len(letter.encode()) if letter else 1))
        at += read[-1][1]
    decoded = [letter for letter, length in read if length > 1]
    in_script = len(decoded) >= _LEAST_OF_SCRIPT and len(decoded) == len(read)
    out, at = [], 0
    for letter, length in read:
        begins, ends = found.start() + at, found.start() + at + length
        sure = length > 2 or (length == 2 and (known or in_script or _is_sure(text, begins, ends)))
        out.append(letter if sure else run[at : at + length])
        at += length
    return "".join(out)


def _letter_at(raw: bytes, at: int) -> str:
    """The letter that a sequence of UTF-8 from here on is; empty where there is none, or it is nothing that is written."""
    length = next((n for lead, n in ((0xF0, 4), (0xE0, 3), (0xC2, 2)) if raw[at] >= lead), 0)
    if not length:
        return ""
    try:
        letter = raw[at : at + length].decode("utf-8")
    except UnicodeDecodeError:
        return ""
    return letter if unicodedata.category(letter[0]) not in {"Cn", "Co", "Cs"} else ""


def _is_sure(text: str, begins: int, ends: int) -> bool:
    """Whether two letters were one. A capital before a sign may be meant: *“CAFÉ”*, *MAÇÃ…*; between small letters, nothing is."""
    first, second = text[begins], text[ends - 1]
    before, after = text[begins - 1 : begins], text[ends : ends + 1]
    if after.isalpha():
        return first in _WESTERN or not (second.isalpha() or second in _APOSTROPHES)
    if before.isupper():
        return False
    return first in _WESTERN
