"""A plain text with an ingredient list into a found recipe, by its headings and by how its lines begin."""

from __future__ import annotations

import re

from scriptkit.drafting.line_text import is_in_capitals
from scriptkit.drafting.old_measures import begins_with_amount
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.table_recipe import lines_of_rows
from scriptkit.english.written_method import (
    begins_with_number,
    is_of_people,
    sentences_of,
    wait_ms_in,
    without_number,
)

_INGREDIENTS = re.compile(
    r"^\W*(?:the )?ingredients\b[^\w]*(?:\(.*\))?\W*$|^\W*(?:here(?:['’]s| is) )?(?:what )?(?:you(?:'ll| will)? need|shopping list)\W*(?:\(?(?:serves|for|makes)\b[^)]*\)?)?\W*$",
    re.IGNORECASE,
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
    r"^\W*((?:serves|feeds|makes|yields?|servings|portions)\b[\s:.]*.{0,60}|(?:sufficient|enough) for\b.{0,60}|for (?:about )?\d+(?:\s*(?:-|–|—|to|or)\s*\d+)?(?: (?:people|persons|servings|as an? [\w -]{3,20}))?\W*)$",
    re.IGNORECASE,
)
_SERVES_HERE = re.compile(r"\b(?:serves|feeds|for|makes)\s+(\d+(?:\s*-\s*\d+)?)", re.IGNORECASE)
_TIME = re.compile(
    r"^\W*(prep(?:aration)?|cook(?:ing)?|total|baking|ready in|takes|time)(?:[ -]?time)?\s*(?:[:.—–-]+\s*|(?=\d|an? |about|one|two|half))(?:about\s+)?(.{1,40})$",
    re.IGNORECASE,
)
_FACTS_APART = re.compile(
    r"\s*(?:[|·•]|\.\s+(?=(?:ready|prep|cook|takes|serves|makes)\b)|,\s+(?=(?:prep|cook|ready|takes|serves)\b))\s*",
    re.IGNORECASE,
)
_BULLET = re.compile(r"^[-*+•▢◦·–—]\s*")
_HEADING = re.compile(r"^(?:#+ .*|for the\b.*|.*:|[^\d]+\s[–—-])$", re.IGNORECASE)


def recipe_in_text(text: str) -> RawRecipe:
    """The recipe of the text: its first line is the name. Raises NoRecipe where no ingredient list can be told."""
    lines = [_without_marks(" ".join(line.split())) for line in text.replace("\ufeff", "").splitlines()]
    subject, lines = _without_letter(lines)
    told = [line for line in lines if line]
    if not told:
        raise NoRecipe("the file is empty", "put the recipe's text in it: name, ingredients one a line, method")
    first = next((n for n, line in enumerate(lines) if line and not _is_talk(line)), lines.index(told[0]))
    name, rest = lines[first].strip("#*=_ "), lines[first + 1 :]
    if _INGREDIENTS.match(name) or (subject and name.endswith(":")):
        name, rest = subject, lines[first:]  # no title: the heading of the list
    name = name.rstrip(" :")
    if subject and (len(name) > _LONGEST_NAME or _is_fact(name) or _is_listed(lines[first]) or _is_talk(name)):
        name, rest = subject, lines[first:]  # the letter goes straight to the recipe
    rest = [piece for line in _without_tables(rest) for piece in _pieces(line)]
    nutrition, rest = _nutrition(rest)
    serves, times, rest = _facts(rest)
    if not serves and (said := _IS_FOR.search(" ".join(lines[:first]))):
        serves = said["count"]
    if not serves and (found := _IN_NAME.search(name)):
        name, serves = name[: found.start()].strip(), found.group(1)
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
        promise=" ".join(
            s for line in before if not _says_nothing(line) for s in sentences_of(line) if not is_of_people(s)
        )[:400],
        serves=serves,
        ingredients=tuple(ingredients),
        steps=tuple(_paragraphs(after)),
        prep_ms=times.get("prep"),
        cook_ms=times.get("cook", times.get("baki")),
        total_ms=times.get("tota", times.get("time", times.get("read", times.get("take")))),
        energy=f"{nutrition['energy_kcal']:g} kcal" if "energy_kcal" in nutrition else "",
        nutrition=tuple(nutrition.items()),
    )


def _is_talk(line: str) -> bool:
    """Whether a line is talk before the recipe: *you asked for the dal, so here it is*."""
    return len(line) > _LONGEST_NAME / 2 and is_of_people(line)


def _is_fact(line: str) -> bool:
    return bool(_SERVES.match(line) or _TIME.match(line))


def _says_nothing(line: str) -> bool:
    """What stands above a list and tells nothing of the dish: stars, buttons, headings."""
    heads = _HEADING.match(line) or (is_in_capitals(line) and len(line.split()) <= _WORDS_OF_A_HEADING)
    return bool(begins_with_number(line) or heads or _CLUTTER.search(line))


_WORDS_OF_A_HEADING = 3
_CLUTTER = re.compile(
    r"★|☆|\bjump to\b|\bprint\b(?: recipe)?\W*$|\bvotes?\b|\breviews?\b|\bpin (?:it|recipe)\b|\brate this\b|^(?:course|cuisine|author|keyword)\s*:",
    re.IGNORECASE,
)
_NUTRIENT = re.compile(
    r"^(?P<what>calories|energy|carbohydrates?|carbs|protein|fat|fib(?:er|re))\s*:\s*(?P<figure>\d+(?:\.\d+)?)\s*(?P<unit>kcal|k?cals?|g)?(?:\s*(?:per|a|each)\s+\w+)?$",
    re.IGNORECASE,
)
_NUTRIENTS = {
    "cal": "energy_kcal",
    "ene": "energy_kcal",
    "car": "carbohydrate_g",
    "pro": "protein_g",
    "fat": "fat_g",
    "fib": "fibre_g",
}


def _nutrition(lines: list[str]) -> tuple[dict[str, float], list[str]]:
    """What the text prints of a serving, by our names, and the lines that print none of it."""
    found: dict[str, float] = {}
    rest = []
    for line in lines:
        if told := _NUTRIENT.match(line):
            found.setdefault(_NUTRIENTS[told["what"][:3].casefold()], float(told["figure"]))
        else:
            rest.append(line)
    return found, rest


_HEADER = re.compile(r"^(?:from|to|cc|bcc|sent|date|reply-to)\s*:\s*\S", re.IGNORECASE)
_SUBJECT = re.compile(r"^subject\s*:\s*(?:(?:re|fw|fwd)\s*:\s*)*(.+)$", re.IGNORECASE)
_GREETING = re.compile(
    r"^(?:hi|hello|hey|hiya|dear|morning|good (?:morning|evening))\b.{0,160}$|^(?:as promised|here(?:'s| is)|this is)\b.{0,120}\b(?:recipe|thing|dish|one)\b.{0,80}$",
    re.IGNORECASE,
)
_GOODBYE = re.compile(
    r"^(?:(?:lots of |much )?love|cheers|best(?: wishes)?|(?:kind |warm )?regards|thanks|enjoy|bon app[eé]tit|x+|sent from my\b.*)\b\W*(?:[A-Z][\w'-]*\W*){0,3}$",
    re.IGNORECASE,
)
_LONGEST_NAME = 60
"""A first line that is longer is no name where a letter has a subject."""


_IN_NAME = re.compile(
    r"\s*[(,–-]\s*((?:serves|feeds|for|makes)\s+(?:about\s+)?\d+(?:\s*(?:-|–|to|or)\s*\d+)?(?:\s+people)?)\s*\)?$",
    re.IGNORECASE,
)
"""*Fish pie (feeds 8)*."""


def _without_tables(lines: list[str]) -> list[str]:
    """The lines with each Markdown table of ingredients as lines of a list, and facts that stand between bars each on its own line."""
    out: list[str] = []
    at = 0
    while at < len(lines):
        end = next((n for n in range(at, len(lines)) if not lines[n].startswith("|")), len(lines))
        rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[at:end]]
        rows = [row for row in rows if not all(re.fullmatch(r":?-+:?", cell) for cell in row)]
        if len(rows) > 1 and (listed := lines_of_rows(rows)):
            out += listed
        else:
            out += [part.strip() for line in lines[at : end + 1] for part in line.split(" | ")]
            end += 1
        at = end
    return out


def _without_letter(lines: list[str]) -> tuple[str, list[str]]:
    """The subject of a letter, empty of none, and the lines without its headers, its greeting and its goodbye."""
    subject, at = "", 0
    while at < len(lines) and (not lines[at] or _HEADER.match(lines[at]) or _SUBJECT.match(lines[at])):
        if found := _SUBJECT.match(lines[at]):
            subject = found.group(1).strip()
        at += 1
    if at < len(lines) and _GREETING.match(lines[at]) and any(lines[at + 1 :]):
        at += 1
    end = len(lines)
    goodbye = next((n for n in range(max(end - 6, at + 1), end) if _GOODBYE.match(lines[n])), end)
    return subject, lines[at:goodbye]


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


def _apart(line: str) -> list[str]:
    """*Serves 4 | Prep 15 min* as two lines; a line that is no such list as it is."""
    pieces = [p for p in _FACTS_APART.split(line) if p]
    return pieces if len(pieces) > 1 and all(_is_fact(p) for p in pieces) else [line]


def _facts(lines: list[str]) -> tuple[str, dict[str, int], list[str]]:
    """How many it serves, the times, and the lines that say neither."""
    serves, times, rest = "", {}, []
    for line in [piece for whole in lines for piece in _apart(whole)]:
        if not serves and (found := _SERVES.match(line.partition("|")[0])):
            serves = found.group(1).strip(" *_")
        elif not serves and _INGREDIENTS.match(line) and (found := _SERVES_HERE.search(line)):
            serves = f"serves {found.group(1)}"
            rest.append(line)
        elif found := _TIME.match(line):
            if ms := wait_ms_in(f"for {found.group(2)}"):
                times[found.group(1)[:4].casefold()] = ms
            else:
                rest.append(line)
        else:
            rest.append(line)
    if not serves and (said := next((f for line in rest if (f := _SERVES_IN.search(line))), None)):
        serves = said.group().strip()
    return serves, times, rest


_SERVES_IN = re.compile(
    r"\b(?:serves|feeds|(?:is )?enough (?:here )?for|sufficient for)\s+(?:about |around |roughly |up to )?(?:\d+|two|three|four|five|six|seven|eight|nine|ten|twelve)\b[^.!()]{0,60}"
    r"|\bmakes (?:about )?\d+ (?:\w+ )?(?:slices|pieces|portions|servings|muffins|scones|biscuits|cookies|buns|rolls|pancakes|bars|squares)\b",
    re.IGNORECASE,
)
"""How many it serves, inside a sentence."""
_IS_FOR = re.compile(
    r"\b(?:this|it|that|recipe|amount|quantity|quantities|amounts)(?:['’]s| is| are| here is| (?:serves|feeds))?\s+(?P<count>(?:(?<=serves )|(?<=feeds )|for )(?:about )?(?:\d+(?:\s*(?:-|–|to|or)\s*\d+)?|two|three|four|five|six|seven|eight|ten|twelve)(?: (?:people|persons|servings))?)(?=\s*(?:[.,;:!)]|$|(?:but|and|so|or)\b))",
    re.IGNORECASE,
)
"""In the talk before a recipe: *I doubled it, but this is for 6.*"""


_MOST_BETWEEN = 3
"""Lines without an amount between two with one: *salt and pepper*, *For the dumplings*."""
_BESIDE = re.compile(
    r"^\W*(?:to serve|for serving|to garnish|garnish|optional)\b.{1,90}$|^.{1,90},\s*(?:to serve|for serving|to garnish|to taste|to finish)\W*(?:\(?optional\)?)?\W*$",
    re.IGNORECASE,
)


def _ends_the_list(line: str) -> bool:
    """Whether a line above the method's heading is none of the list: a sentence, a numbered step, notes."""
    told = _BULLET.sub("", line)
    if begins_with_number(line) or _AFTER_ALL.match(line) or len(told) >= _LONGEST_LISTED:
        return True
    return bool(told) and told.endswith((".", "!", "?")) and not begins_with_amount(told) and len(told.split()) > 3


_LONGEST_LISTED = 120
"""A line that is longer is prose, where no heading tells."""


def _by_their_look(lines: list[str], method: int | None) -> tuple[list[str], list[str], list[str]]:
    """Without a heading: the ingredients are the first run of lines that begin with an amount, or stand between such."""
    limit = len(lines) if method is None else method
    looks = [n for n, line in enumerate(lines[:limit]) if _is_listed(line)]
    if not looks:
        return lines, [], []
    first = last = looks[0]
    for n in looks[1:]:
        between = [line for line in lines[last + 1 : n] if line]
        if all(len(line) < 60 for line in between) and len(between) <= _MOST_BETWEEN:
            last = n
    tail = last + 1
    if method is not None:  # all above its heading is the list, up to a sentence
        prose = next((n for n in range(tail, limit) if _ends_the_list(lines[n])), limit)
        return lines[:first], lines[first:prose], lines[prose:]
    while (
        tail < limit
        and lines[tail]
        and (len(lines[tail]) < 40 or _BESIDE.match(lines[tail]))
        and not lines[tail].endswith(".")
    ):
        tail += 1  # salt and pepper
    return lines[:first], lines[first:tail], lines[tail:]


def _is_listed(line: str) -> bool:
    plain = _BULLET.sub("", line)
    return bool(plain) and not begins_with_number(line) and len(plain) < 90 and begins_with_amount(plain)


def _until_prose(lines: list[str]) -> tuple[list[str], list[str]]:
    """Where no heading ends the list: at the first line that is a sentence or a numbered step."""
    for n, line in enumerate(lines):
        apart = n > 0 and not lines[n - 1] and len(line.split()) > 3
        sentence = (len(line) > 60 or apart) and line.endswith(".") and not begins_with_amount(_BULLET.sub("", line))
        if begins_with_number(line) or sentence:
            return lines[:n], lines[n:]
    return lines, []


_AFTER_ALL = re.compile(
    r"^\W*(?:(?:recipe |cook'?s |chef'?s )?(?:notes?|tips?)|nutrition(?: facts| information)?|storage|substitutions|variations|equipment|did you make this.*)\W*$",
    re.IGNORECASE,
)
"""A heading that ends the method."""


def _steps_of_their_own(lines: list[str]) -> set[int]:
    """Lines that are each a step: those of a paragraph nearly all of whose lines end a sentence, and begin one. A text that is wrapped ends
    its lines anywhere."""
    found: set[int] = set()
    paragraph: list[int] = []
    for n, line in enumerate([*lines, ""]):
        if line and not _METHOD.match(line):
            paragraph.append(n)
            continue
        ended = sum(lines[p].endswith((".", "!", "?", ")")) and lines[p][:1].isupper() for p in paragraph)
        if len(paragraph) > 1 and ended >= 0.8 * len(paragraph):
            found.update(paragraph)
        paragraph = []
    return found


def _paragraphs(lines: list[str]) -> list[str]:
    """Steps: numbered or bulleted lines each, else paragraphs; one long paragraph is cut into its sentences."""
    end = next((n for n, line in enumerate(lines) if n and _AFTER_ALL.match(line)), len(lines))
    lines = lines[:end]
    found: list[str] = []
    new = True
    whole = _steps_of_their_own(lines)
    for n, line in enumerate(lines):
        if _METHOD.match(line) or line.startswith("#"):
            continue
        said = _METHOD_RUN_IN.sub("", line)
        begins = bool(begins_with_number(said) or _BULLET.match(said))
        said = _BULLET.sub("", without_number(said))
        if not said:
            new = True
        elif new or begins or n in whole or not found:
            found.append(said)
            new = False
        else:
            found[-1] += f" {said}"
    if len(found) == 1:
        capital = "A-Z" if re.search(r"[.!?]\s+[A-Z]", found[0]) else "A-Za-z"
        return [s for s in re.split(rf"(?<=[.!?])\s+(?=[{capital}])", found[0]) if s]
    return found
