"""A value as the YAML text that the reader reads it from: plain where that is safe, else quoted."""

from __future__ import annotations

import json
import re
from typing import Any

from scriptkit.recipe.yamltree import parse_tree

WIDEST_FLOW = 110
"""A longer mapping or list is written over several lines where it stands in no brackets (common practice, no source)."""
_ESCAPED = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff\ufffe\uffff]")


def as_read(value: Any) -> Any:
    """The value as reading gives it back: numbers and yes or no as text, mappings and lists of such."""
    if isinstance(value, dict):
        return {str(key): as_read(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_read(one) for one in value]
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if value is None or isinstance(value, str) else str(value)


def same(one: Any, other: Any) -> bool:
    """Whether two values read from files are the same, the order of their keys too."""
    return json.dumps(one) == json.dumps(other)


def flow_text(value: Any, *, in_flow: bool = True) -> str:
    """The value on one line; a mapping or list in brackets. ``value`` as ``as_read`` gives it; ``in_flow``: whether it stands
    inside brackets."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow_text(key)}: {flow_text(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(one) for one in value) + "]"
    return scalar_text(value, in_flow=in_flow)


def block_text(value: Any, indent: str, line_break: str) -> str:
    """A mapping or list over several lines, the first not indented and the others by ``indent``."""
    if isinstance(value, dict):
        lines = [f"{scalar_text(key)}: {flow_text(one, in_flow=False)}" for key, one in value.items()]
    else:
        lines = [f"- {flow_text(one, in_flow=False)}" for one in value]
    return f"{line_break}{indent}".join(lines)


def scalar_text(value: str | None, *, in_flow: bool = True, quote: str = "") -> str:
    """The text, plain or in the ``quote`` asked for where it can stand so; in double quotes where it cannot."""
    if value is None:
        return "null"
    if not quote and _is_plain(value, in_flow):
        return value
    if quote != '"' and (quote or '"' in value or "\\" in value) and value.isprintable():
        return "'" + value.replace("'", "''") + "'"
    text = json.dumps(value, ensure_ascii=False)
    return _ESCAPED.sub(lambda found: f"\\u{ord(found.group()):04x}", text)


def literal_text(value: str, style: str, indent: str, line_break: str, comment: str) -> str:
    """The text as a block under ``|`` or ``>``; empty where it cannot be written so."""
    lines = value.rstrip("\n").split("\n")
    if not value.strip() or lines[0][:1] in ("", " ", "\t") or (style == ">" and len(lines) > 1):
        return ""
    ends = len(value) - len(value.rstrip("\n"))
    if ends > 1 or not all(line.isprintable() for line in lines):
        return ""
    header = style + ("" if ends else "-") + comment
    return line_break.join([header, *(indent + line if line else "" for line in lines)])


def _is_plain(value: str, in_flow: bool) -> bool:
    if not value or not value.isprintable() or value.strip() != value:
        return False
    shapes = [(f"- {value}\n- x\n", [value, "x"]), (f"a: {value}\nb: x\n", {"a": value, "b": "x"})]
    if in_flow:
        shapes += [(f"[{value}, x]", [value, "x"]), (f"{{a: {value}, b: x}}", {"a": value, "b": "x"})]
        shapes += [(f"{{{value}: x}}", {value: "x"})]
    return all((tree := parse_tree(text, "")).data == data and not tree.problems for text, data in shapes)
