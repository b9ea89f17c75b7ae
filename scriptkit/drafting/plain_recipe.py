"""A plain text with an ingredient list into a found recipe, by its headings and by how its lines begin."""

from __future__ import annotations

import re

from scriptkit.drafting.old_measures import begins_with_amount
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.measure.durations import NotADuration, parse_duration

_INGREDIENTS = re.compile(
    r"^\W*(?:the )?ingredients\b[^\w]*(?:\(.*\))?\W*$|^\W*(?:you (?:will )?need|shopping list)\W*$", re.IGNORECASE
)
_RUN_IN = re.compile(r"^\W*ingredients\s*[.:—–_-]+\s*(?=\S)", re.IGNORECASE)
"""Old books print the list as one sentence: *INGREDIENTS.—2 oz. of butter, 2 eggs.*"""
_METHOD = re.compile(
    r"^\W*(?:method|directions?|instructions?|preparation|procedure|steps|mode|how to (?:make|cook) it)\W*$",
    re.IGNORECASE,
)
_METHOD_RUN_IN = re.compile(
    r"^\W*(?:method|directions?|instructions?|mode|preparation)\s*[:.—–-]+\s*(?=\S)", re.IGNORECASE
)
_SERVES = re.compile(
    r"^\W*((?:serves|makes|yields?|servings|portions)\b[\s:.]*.{0,60}|(?:sufficient|enough) for\b.{0,60}|for \d+ (?:people|persons|servings)\W*)$",
    re.IGNORECASE,
)
_TIME = re.compile(
    r"^\W*(prep(?:aration)?|cook(?:ing)?|total|baking)(?:[ -]?time)?\s*[:.—–-]+\s*(?:about\s+)?(.{1,40})$",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"^(?:step\s*)?\d{1,2}\s*[.):]\s+", re.IGNORECASE)
_BULLET = re.compile(r"^[-*+•▢◦·–—]\s*")
_HEADING = re.compile(r"^(?:#+ .*|for the\b.*|.*:)$", re.IGNORECASE)


def recipe_in_text(text: str) -> RawRecipe:
    """The recipe of the text: its first line is the name. Raises NoRecipe where no ingredient list can be told."""
    lines = [_without_marks(" ".join(line.split())) for line in text.replace("\ufeff", "").splitlines()]
    told = [line for line in lines if line]
    if not told:
        raise NoRecipe("the file is empty", "put the recipe's text in it: name, ingredients one a line, method")
    name, rest = told[0].strip("#*=_ "), lines[lines.index(told[0]) + 1 :]
    rest = [piece for line in rest for piece in _pieces(line)]
    serves, times, rest = _facts(rest)
    start = next((n for n, line in enumerate(rest) if _INGREDIENTS.match(line)), None)
    method = next(
        (n for n, line in enumerate(rest) if (_METHOD.match(line) or _METHOD_RUN_IN.match(line)) and n > (start or 0)),
        None,
    )
    if start is None:
        before, listed, after = _by_their_look(rest, method)
    else:
        before = rest[:start]
        listed, after = (
            (rest[start + 1 : method], rest[method:]) if method is not None else _until_prose(rest[start + 1 :])
        )
    ingredients = [_BULLET.sub("", line) for line in listed if line and not _HEADING.match(line)]
    if not ingredients:
        raise NoRecipe(
            "no list of ingredients can be told in the text",
            "write `Ingredients` above them, one a line, and `Method` above the steps",
        )
    return RawRecipe(
        name=name,
        promise=" ".join(line for line in before if line and not _NUMBERED.match(line))[:400],
        serves=serves,
        ingredients=tuple(ingredients),
        steps=tuple(_paragraphs(after)),
        prep_ms=times.get("prep"),
        cook_ms=times.get("cook", times.get("baki")),
        total_ms=times.get("tota"),
    )


def _without_marks(line: str) -> str:
    """The line without what Markdown marks it with: links, emphasis, boxes to tick, rules.

    >>> _without_marks("- [ ] **200 g** [leeks](leeks.md)"), _without_marks("---")
    ('- 200 g leeks', '')
    """
    if re.fullmatch(r"(?:[-=_*]\s?){3,}", line):
        return ""
    line = re.sub(r"!?\[([^\[\]]*)\]\([^()]*\)", r"\1", line)
    line = re.sub(r"^([-*+]\s+)\[[ xX]?\]\s+", r"\1", line)
    line = re.sub(r"(\*\*|__|`)(?=\S)(.+?)\1", r"\2", line)
    return re.sub(r"^([*_])(?=\S)(.*\S)\1$", r"\2", line)


def _pieces(line: str) -> list[str]:
    """A list that is run in becomes a heading and lines."""
    found = _RUN_IN.match(line)
    if not found or _INGREDIENTS.match(line):
        return [line]
    return ["Ingredients", *(p.strip(" .") for p in re.split(r"[,;]\s+", line[found.end() :]) if p.strip(" .")), ""]


def _facts(lines: list[str]) -> tuple[str, dict[str, int], list[str]]:
    """How many it serves, the times, and the lines that say neither."""
    serves, times, rest = "", {}, []
    for line in lines:
        if not serves and (found := _SERVES.match(line)):
            serves = found.group(1)
        elif found := _TIME.match(line):
            try:
                times[found.group(1)[:4].casefold()] = parse_duration(found.group(2).strip(" ."))
            except NotADuration:
                rest.append(line)
        else:
            rest.append(line)
    return serves, times, rest


def _by_their_look(lines: list[str], method: int | None) -> tuple[list[str], list[str], list[str]]:
    """Without a heading: the ingredients are the first run of lines that begin with an amount, or stand between such."""
    limit = len(lines) if method is None else method
    looks = [n for n, line in enumerate(lines[:limit]) if _is_listed(line)]
    if not looks:
        return lines, [], []
    first = last = looks[0]
    for n in looks[1:]:
        if all(len(line) < 60 for line in lines[last + 1 : n]) and n - last <= 4:
            last = n
    tail = last + 1
    while tail < limit and lines[tail] and len(lines[tail]) < 40 and not lines[tail].endswith("."):
        tail += 1  # salt and pepper
    return lines[:first], lines[first:tail], lines[tail:]


def _is_listed(line: str) -> bool:
    plain = _BULLET.sub("", line)
    return bool(plain) and not _NUMBERED.match(line) and len(plain) < 90 and begins_with_amount(plain)


def _until_prose(lines: list[str]) -> tuple[list[str], list[str]]:
    """Where no heading ends the list: at the first line that is a sentence or a numbered step."""
    for n, line in enumerate(lines):
        sentence = len(line) > 60 and line.endswith(".") and not begins_with_amount(_BULLET.sub("", line))
        if _NUMBERED.match(line) or sentence:
            return lines[:n], lines[n:]
    return lines, []


def _paragraphs(lines: list[str]) -> list[str]:
    """Steps: numbered or bulleted lines each, else paragraphs; one long paragraph is cut into its sentences."""
    found: list[str] = []
    new = True
    for line in lines:
        if _METHOD.match(line) or line.startswith("#"):
            continue
        said = _METHOD_RUN_IN.sub("", line)
        begins = bool(_NUMBERED.match(said) or _BULLET.match(said))
        said = _BULLET.sub("", _NUMBERED.sub("", said))
        if not said:
            new = True
        elif new or begins or not found:
            found.append(said)
            new = False
        else:
            found[-1] += f" {said}"
    if len(found) == 1:
        return [s for s in re.split(r"(?<=[.!?])\s+(?=[A-Z])", found[0]) if s]
    return found
