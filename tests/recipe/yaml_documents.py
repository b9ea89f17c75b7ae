"""YAML documents as people write them, for hypothesis: any mix of block and brackets, quotes, comments, blank lines, columns, line
breaks; each comment has its own number."""

from __future__ import annotations

import itertools
import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml
from hypothesis import strategies as st

TEXTS = st.one_of(
    st.sampled_from(["30 g", "to taste", "dice, 15 mm", "1:30", "no", "it's hot", 'a "good" bit', "5", "½ cup", "x: y", "a #b", "- a",
                     "[x]", "*x", "&y", "!z", "null", "~", "", " led", "end ", "back\\slash", "two\nlines\n", "a\nb", "# c", "@x", "%"]),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), min_size=1, max_size=12),
)  # fmt: skip
"""What may be put into a file."""
PLAIN = ["30 g", "to taste", "butter", "7 min", "no", "½ cup", "fish-stock.yaml", "it's hot"]
KEYS = ["dish", "butter", "fish stock", "salt", "amount", "add", "say", "x1", "café"]
VALUES: st.SearchStrategy[Any] = st.recursive(
    TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=3),
    max_leaves=5,
)


@dataclass
class Writer:
    """Chooses how each value is written."""

    choose: random.Random
    number: Iterator[int]
    line_break: str

    def comment(self, one_in: int = 5) -> str:
        if self.choose.randrange(one_in):
            return ""
        return " " * self.choose.randint(1, 5) + f"# c{next(self.number)}: [a, 'b']"

    def own_lines(self, indent: str) -> str:
        lines = ""
        while not self.choose.randrange(6):
            lines += (f"{indent}# c{next(self.number)}" if self.choose.randrange(2) else "") + self.line_break
        return lines

    def scalar(self) -> str:
        text = self.choose.choice(PLAIN)
        quoted = {"plain": text, "single": "'" + text.replace("'", "''") + "'", "double": json.dumps(text), "empty": ""}
        return quoted[self.choose.choice(["plain", "plain", "single", "double", "empty"])]

    def keys(self, most: int = 4) -> list[str]:
        return self.choose.sample(KEYS, self.choose.randint(1, most))

    def flow(self, depth: int) -> str:
        kind = self.choose.choice(["scalar", "scalar", "mapping", "list"] if depth else ["scalar"])
        if kind == "scalar":
            return self.scalar()
        if kind == "mapping":
            items = [f"{key}: {self.flow(depth - 1)}" for key in self.keys(3)]
        else:
            items = [self.flow(depth - 1) or "x" for _ in range(self.choose.randrange(4))]
        inside = ", ".join(items) + ("," if items and not self.choose.randrange(6) else "")
        if items and not self.choose.randrange(6):
            lines = [f"{' ' * 10}{item},{self.comment(3)}{self.line_break}" for item in items]
            if self.choose.randrange(2):
                lines[-1] = lines[-1].replace(",", "", 1) if "," not in items[-1] else lines[-1]
            inside = self.line_break + "".join(lines) + " " * 8
        return "{" + inside + "}" if kind == "mapping" else "[" + inside + "]"

    def after_colon(self, indent: str, depth: int, gap: str) -> str:
        """A value with all its lines, from right after the colon or the dash."""
        kind = self.choose.choice(["flow", "flow", "literal", "mapping", "list"][: 5 if depth else 3])
        deeper = indent + " " * self.choose.choice([2, 2, 4])
        if kind == "mapping":
            return self.comment() + self.line_break + self.mapping(deeper, depth - 1)
        if kind == "list":
            return self.comment() + self.line_break + self.sequence(deeper, depth - 1)
        if kind == "literal":
            lines = [
                "Heat it.",
                *self.choose.choices(["Stir it.", "  # no comment", "", "a: b"], k=self.choose.randrange(4)),
            ]
            body = "".join((deeper + line if line else "") + self.line_break for line in lines)
            return f"{gap}{self.choose.choice(['|', '|-', '>', '>-', '|+'])}{self.comment()}{self.line_break}{body}"
        value = self.flow(2)
        return (gap + value if value else "") + self.comment() + self.line_break

    def mapping(self, indent: str, depth: int, lead: str | None = None) -> str:
        keys = self.keys()
        column = max(map(len, keys)) if self.choose.randrange(2) else 0
        out = ""
        for n, key in enumerate(keys):
            start = lead if lead is not None and n == 0 else self.own_lines(indent) + indent
            out += f"{start}{key}:{self.after_colon(indent, depth, ' ' * max(1, column - len(key) + 1))}"
        return out

    def sequence(self, indent: str, depth: int) -> str:
        out = ""
        for _ in range(self.choose.randint(1, 3)):
            out += self.own_lines(indent)
            if depth and self.choose.randrange(2):
                out += self.mapping(indent + "  ", depth - 1, indent + "- ")
            else:
                out += f"{indent}-{self.after_colon(indent, depth, ' ')}"
        return out


def document(seed: int) -> str:
    """A mapping of some keys, with or without a byte order mark and a last line break."""
    choose = random.Random(seed)
    writer = Writer(choose, itertools.count(1), choose.choice(["\n", "\n", "\r\n"]))
    text = writer.own_lines("") + writer.mapping("", 2) + writer.own_lines("")
    if choose.randrange(2):
        text = text.removesuffix(writer.line_break)
    return choose.choice(["", "", "\ufeff"]) + text


DOCUMENTS = st.integers(0, 2**32).map(document)


def read(text: str) -> Any:
    """The document by the reference reader; every scalar is text, and an empty one is empty."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def paths(data: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every path of the data with its value."""
    yield at, data
    if isinstance(data, dict | list):
        for part, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from paths(value, (*at, part))
