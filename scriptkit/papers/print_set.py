"""The print-out: the pages that are carried on the day, one after the other in one page, to be printed at once."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from scriptkit.papers.binder import INDEX

PRINTED = (INDEX, "buying.html", "mise-en-place.html", "schedule.html", "shoot-list.html", "script.html")
"""In the order of the work. Labels have sheets of their own; the recipe card leaves the house."""

_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
_PAPER = re.compile(r"<header>.*?</main>", re.DOTALL)
_MAIN = re.compile(r"<(/?)main\b")
_SCRIPT = re.compile(r"<script.*?</script>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Paper:
    """A page without its frame, as HTML."""

    name: str
    body: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSet:
    """The values of print.html: the papers, and the styles that each has beyond those of every page."""

    papers: tuple[Paper, ...]
    styles: Markup


def print_set_of(files: Mapping[str, str], without: Collection[str] = ()) -> PrintSet:
    """Of the rendered pages of a pack, by name; one that is not among them is left out, and so is each of ``without``."""
    papers: list[Paper] = []
    styles: dict[str, None] = {}
    for name in PRINTED:
        page = "" if name in without else files.get(name, "")
        found = _PAPER.search(page)
        if found:
            papers.append(Paper(name.partition(".")[0], Markup(_MAIN.sub(r"<\1div", _SCRIPT.sub("", found[0])))))
            styles |= dict.fromkeys(_STYLE.findall(page)[1:])
    return PrintSet(papers=tuple(papers), styles=Markup("\n".join(styles)))
