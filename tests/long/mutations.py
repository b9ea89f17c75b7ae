"""Mutated files: what a slipped finger, a bad copy or malice makes of a good one. No randomness but the seed's."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

TOKENS = [
    b"'", b'"', b":", b": ", b"- ", b"{", b"}", b"[", b"]", b"#", b"|", b">", b"&a", b"*a", b"!!python/object", b"%YAML 9.9",
    b"\t", b"\r\n", b"\n\n", b"---\n", b"...\n", b"null", b"~", b"yes", b"NaN", b"inf", b"-1", b"0", b"1e309", b"99999999999999999999",
    b"1/0", b"1,5", "½".encode(), "٣".encode(), "\u202e".encode(), "\u200b".encode(), "\ufeff".encode(), b"\x00", b"\x1b[31m",
    b"\xff\xfe", b"\xed\xa0\x80", b"-->", b"00:00:00,000 --> 00:00:00,000", b"99:59:59,999", b"<i>", b"</script>", b"{{7*7}}",
    b"=HYPERLINK(1)", b"all", b"half", b"rest", b"to taste", b"30 g", b"2 tbsp", b"1 serving", b"wait_at_most: 1 s", b"after: [x]",
    b"amount", b"dish: dish.yaml", b"steps:", b"ingredients:", b"WEBVTT", b"NOTE", b"STYLE", b";", b",", b"01:00:00;02",
]  # fmt: skip
_NUMBER = re.compile(rb"\d+")


def mutated(seeds: Sequence[bytes], chance: random.Random) -> bytes:
    """One of the seeds with one to eight things wrong with it."""
    data = bytearray(chance.choice(seeds))
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 5, 8))):
        chance.choice(_WAYS)(data, chance, seeds)
    return bytes(data)


def _span(data: bytearray, chance: random.Random) -> tuple[int, int]:
    start = chance.randint(0, len(data))
    return start, min(len(data), start + int(chance.expovariate(1 / 20)) + 1)


def _flip(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    if data:
        data[chance.randrange(len(data))] = chance.randrange(256)


def _delete(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    start, end = _span(data, chance)
    del data[start:end]


def _double(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    start, end = _span(data, chance)
    data[start:start] = data[start:end] * chance.choice((1, 1, 3, 50))


def _insert(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    at = chance.randint(0, len(data))
    data[at:at] = chance.choice(TOKENS)


def _replace(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    start, end = _span(data, chance)
    data[start:end] = chance.choice(TOKENS)


def _number(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    found = list(_NUMBER.finditer(bytes(data)))
    if found:
        one = chance.choice(found)
        data[one.start() : one.end()] = chance.choice(
            (
                b"0",
                b"1",
                b"-1",
                b"1000000",
                b"0.000001",
                b"1/3",
                b"1e9",
                b"",
                b"00",
                b"10:75",
                str(chance.randint(0, 9999)).encode(),
            )
        )


def _lines(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    lines = bytes(data).splitlines(keepends=True)
    if len(lines) > 1:
        way = chance.choice(("swap", "drop", "double", "indent", "comment"))
        i, j = chance.randrange(len(lines)), chance.randrange(len(lines))
        if way == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        elif way == "drop":
            del lines[i]
        elif way == "double":
            lines.insert(j, lines[i])
        else:
            lines[i] = (b"  " if way == "indent" else b"# ") + lines[i]
        data[:] = b"".join(lines)


def _splice(data: bytearray, chance: random.Random, seeds: Sequence[bytes]) -> None:
    other = bytearray(chance.choice(seeds))
    start, _ = _span(other, chance)
    at = chance.randint(0, len(data))
    data[at:] = other[start:]


def _truncate(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> None:
    del data[chance.randint(0, len(data)) :]


_WAYS = (
    _flip,
    _delete,
    _double,
    _insert,
    _insert,
    _replace,
    _replace,
    _number,
    _number,
    _lines,
    _lines,
    _splice,
    _truncate,
)
