"""In which encoding a text file is written: told by its marks, by UTF-8 itself, else guessed, and a guess says how sure it is."""

from __future__ import annotations

import codecs
import contextlib
import re
import shlex
from dataclasses import dataclass

from scriptkit.problems import CannotDo, Place, Problem, error, warning
from scriptkit.timed_text.mending import beside, fix_command
from scriptkit.timed_text.readings import oddness, readings

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF32_LE, "utf-32-le"), (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"),
)  # fmt: skip
_LEGACY = [
    "cp1250", "cp1251", "cp1252", "cp1253", "cp1254", "cp1255", "cp1256", "cp1257", "cp1258", "cp874", "cp437", "cp737", "cp775",
    "cp850", "cp852", "cp855", "cp857", "cp860", "cp861", "cp862", "cp863", "cp865", "cp866", "cp869", "latin_1",
    *(f"iso8859_{n}" for n in (2, 3, 4, 5, 6, 7, 8, 9, 10, 13, 14, 15, 16)),
    "koi8_r", "koi8_u", "mac_roman", "mac_latin2", "mac_cyrillic", "mac_greek", "mac_turkish",
    "cp932", "euc_jp", "iso2022_jp", "gb18030", "big5", "cp949", "hz",
]  # fmt: skip
"""What captions were written in before UTF-8."""
_NEVER_SURE = ("mac", "cp437", "cp7", "cp85", "cp86")
"""Of old systems: rare, and easily taken for one another."""
_MORE_ORDER, _MORE_LANGUAGE = 2.0, 3.0
"""Percent points by which a guess must stand out: of disorder (mixed scripts, odd accents) and of letters as a language has them.
Set on 90 files of 14 languages (tests/timed_text/test_encodings.py): none is read wrongly, and a third is not sure."""
_ESCAPED = (b"\x1b$", b"\x1b(")
"""How ISO 2022 changes its letters; to UTF-8 all of it is ASCII."""
SURE, UNSURE, STRAY = "encoding", "encoding-unsure", "stray-byte"
"""Codes of what is told."""


@dataclass(frozen=True, slots=True)
class Guess:
    """``text`` as the likeliest ``encoding`` reads it; ``rivals`` read it otherwise and are about as likely, with the first word in
    which they differ."""

    text: str
    encoding: str
    rivals: tuple[tuple[str, str, str], ...] = ()


def decode(raw: bytes, file: str, encoding: str = "") -> tuple[str, list[Problem]]:
    """The text of a file, and what had to be assumed of its encoding: a problem ENCODING where that is sure, UNSURE where it is
    a guess. ``encoding``: what the person says it is. Raises CannotDo where there is no such encoding, or it does not read it."""
    place = Place(file)
    if encoding:
        return _as_told(raw, place, encoding), []
    if name := _unicode_form(raw):
        text = raw.decode(name, errors="replace").removeprefix("\ufeff")
        return text, [] if name == "utf-8" else [_not_utf8(place, name.upper()[:6])]
    if not any(code in raw for code in _ESCAPED):
        try:
            return raw.decode("utf-8"), []
        except UnicodeDecodeError as wrong:
            if (damaged := _damaged_utf8(raw, file)) is not None:
                return damaged
            place = Place(file, raw[: wrong.start].count(b"\n") + 1)
    guess = guess_of(raw)
    if not guess.rivals:
        return guess.text, [_not_utf8(place, guess.encoding)]
    return _chosen(raw, place, guess)


def _chosen(raw: bytes, place: Place, guess: Guess) -> tuple[str, list[Problem]]:
    """The least odd reading of a file whose encoding is not sure, and how it reads in each other: a person can tell."""
    likely = [
        codecs.lookup(name).name
        for name in (guess.encoding, *(rival for rival, _, _ in guess.rivals))
        if _is_codec(name)
    ]
    ways = readings(raw, likely, _LEGACY)
    text, name = guess.text, guess.encoding
    if ways and oddness(text) > ways[0].odd:
        with contextlib.suppress(UnicodeDecodeError):  # some other line of it may be none of this encoding
            text, name = raw.decode(ways[0].codec), _usual_name(ways[0].codec)
    return text, [_unsure(place, name, [(_usual_name(way.codec), way.line) for way in ways])]


def _is_codec(name: str) -> bool:
    try:
        codecs.lookup(name)
    except LookupError:
        return False
    return True


def _unicode_form(raw: bytes) -> str:
    """By its mark, or by the zeros of plain letters in UTF-16; empty where nothing shows one."""
    for mark, name in _MARKS:
        if raw.startswith(mark):
            return name
    for name, zeros in (("utf-16-le", raw[1:400:2]), ("utf-16-be", raw[:400:2])):
        if len(zeros) > 8 and zeros.count(0) > len(zeros) / 2:
            return name
    return ""


def _as_told(raw: bytes, place: Place, encoding: str) -> str:
    try:
        return raw.decode(encoding).removeprefix("\ufeff")
    except LookupError:
        message, hint = (
            f"“{encoding}” is not an encoding scriptkit knows",
            "write its usual name, such as windows-1252, utf-16 or shift_jis",
        )
    except UnicodeDecodeError as wrong:
        line = raw[: wrong.start].count(b"\n") + 1
        place, message = Place(place.file, line), f"this is not {encoding}: it cannot be read from here on"
        hint = "try another --encoding, or leave it out"
    raise CannotDo([error(place, "encoding", message, hint)])


def _damaged_utf8(raw: bytes, file: str) -> tuple[str, list[Problem]] | None:
    """UTF-8 that is cut off, damaged or put together with another encoding, where most of it is right; else None."""
    text = raw.decode("utf-8", errors="surrogateescape")  # a byte that is no UTF-8 is then a lone surrogate
    runs = list(_NO_UTF8.finditer(text))
    right = {c for c in _BEYOND_ASCII.findall(text) if not "\udc80" <= c <= "\udcff"}
    western = bool(right) and all(_is_western(c) for c in right)
    count = sum(c > "\x7f" for c in text)
    bad = sum(len(run.group()) for run in runs)
    alone = western and all(_stands_alone(run) for run in runs)
    if count - bad <= bad and not alone and not _is_cut_off(raw):
        return None
    parts, told, broken, at = [], [], [], 0
    line, counted = 1, 0
    for run in runs:
        line, counted = line + text.count("\n", counted, run.start()), run.start()
        letter = _stray_letter(run) if western else ""
        if letter:
            around = (text[max(0, run.start() - 20) : run.start()], text[run.end() : run.end() + 20])
            word = f"{_WORD_END.findall(around[0])[0]}{letter}{_WORD_START.findall(around[1])[0]}"
            byte = ord(run.group()) - 0xDC00
            message = f"the byte {byte:02X} is not UTF-8; read as “{letter}” of windows-1252: “{word}”"
            told.append(
                warning(Place(file, line), STRAY, message, f"check the word: `{fix_command(file)}` writes it as UTF-8")
            )
        else:
            broken.append(line)
        parts += [text[at : run.start()], letter or "\ufffd"]
        at = run.end()
    if broken:
        message = f"{len(broken)} broken character{'' if len(broken) == 1 else 's'}: the file is cut off or damaged"
        told.insert(
            0,
            warning(Place(file, broken[0]), SURE, message, "type them again where � stands; the rest is read as UTF-8"),
        )
    return "".join([*parts, text[at:]]), told


_NO_UTF8 = re.compile("[\udc80-\udcff]+")
_BEYOND_ASCII = re.compile("[^\x00-\x7f]")
_WORD_END, _WORD_START = re.compile(r"[^\W\udc80-\udcff]*$"), re.compile(r"^[^\W\udc80-\udcff]*")
_DOUBTFUL = "ÂÃÐÞðþÿ"
"""Alone, these are rather the first half of a letter of UTF-8, or nothing that a kitchen says."""
_SIGNS = "€‚…‘’“”–—™œŒŸ£°·«»¿¡½¼¾"


def _is_western(letter: str) -> bool:
    """Whether it is one that windows-1252 has too, or no letter at all, as a sign or a picture is."""
    return not letter.isalpha() or _as_bytes(letter) is not None


def _as_bytes(letter: str) -> bytes | None:
    try:
        return letter.encode("cp1252")
    except UnicodeEncodeError:
        return None


def _stands_alone(run: re.Match[str]) -> bool:
    return len(run.group()) == 1


def _stray_letter(run: re.Match[str]) -> str:
    """What a byte that stands alone is in windows-1252, in a text whose other letters are Western; empty where that is not sure."""
    if not _stands_alone(run):
        return ""
    try:
        letter = bytes([ord(run.group()) - 0xDC00]).decode("cp1252")
    except UnicodeDecodeError:
        return ""
    if letter in _DOUBTFUL or run.end() == len(run.string):  # at the end of a file it is one that was cut off
        return ""
    return letter if (letter.isalpha() and letter >= "À") or letter in _SIGNS else ""


def _is_cut_off(raw: bytes) -> bool:
    """Whether it ends within a character, and is UTF-8 until there."""
    try:
        codecs.getincrementaldecoder("utf-8")().decode(raw)
    except UnicodeDecodeError:
        return False
    return True


def guess_of(raw: bytes) -> Guess:
    """The likeliest of the legacy encodings; without rivals where every other that is about as likely reads the same text."""
    from charset_normalizer import from_bytes

    found = list(from_bytes(raw, cp_isolation=_LEGACY, preemptive_behaviour=False))
    if not found:
        return Guess(raw.decode("cp1252", errors="replace"), "windows-1252", (("none that is known", "", ""),))
    best, text = found[0], str(found[0])
    rivals: list[tuple[str, str, str]] = []
    western = None
    for other in found[1:]:
        as_orderly = other.percent_chaos < best.percent_chaos + _MORE_ORDER
        as_likely = other.percent_coherence > best.percent_coherence - _MORE_LANGUAGE
        likelier = other.percent_coherence > best.percent_coherence + _MORE_LANGUAGE
        near = other.percent_chaos < best.percent_chaos + 2 * _MORE_ORDER
        of_old_systems = best.encoding.startswith(_NEVER_SURE)
        if ((as_orderly and as_likely) or (near and likelier) or of_old_systems) and str(other) != text:
            rivals.append((_usual_name(other.encoding), *_first_difference(text, str(other))))
            western = other if other.encoding == "cp1252" else western
    if (
        western is not None
    ):  # of those that are about as likely, English and its neighbours are by far the most frequent
        rivals.insert(0, (_usual_name(best.encoding), *_first_difference(str(western), text)))
        return Guess(str(western), "windows-1252", tuple(r for r in rivals if r[0] != "windows-1252"))
    return Guess(text, _usual_name(best.encoding), tuple(rivals))


def _usual_name(codec: str) -> str:
    number = codec.removeprefix("cp")
    if codec.startswith("cp") and number.startswith("125"):
        return f"windows-{number}"
    return codec.replace("iso8859_", "iso-8859-").replace("_", "-")


def _first_difference(one: str, other: str) -> tuple[str, str]:
    """The first word in which two readings of the same bytes differ, as each has it."""
    for a, b in zip(one.split(), other.split(), strict=False):
        if a != b:
            return a[:20], b[:20]
    return "", ""


def _not_utf8(place: Place, name: str) -> Problem:
    hint = f"write it as UTF-8: `{fix_command(place.file)}` does"
    return warning(place, SURE, f"the file is not UTF-8 but {name}", hint)


def _unsure(place: Place, read_as: str, ways: list[tuple[str, str]]) -> Problem:
    """``ways``: encodings, each with a line as it reads."""
    message = f"the file is not UTF-8, and it is not sure what it is; read as {read_as}"
    command = (
        f"`scriptkit proof {shlex.quote(place.file)} --encoding {read_as} --fix {shlex.quote(beside(place.file))}`"
    )
    hint = f"write it as UTF-8: {command}"
    if ways:
        shown = "; ".join(f"“{line}” is `--encoding {name}`" for name, line in ways)
        hint = f"choose the line that reads right: {shown}; then {hint}"
    return warning(place, UNSURE, message, hint)
