"""The binder: which page is behind which tab, in the order of the work, and the folder of what machines read."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

INDEX = "index.html"
"""What is opened first."""
PRINT_SET = "print.html"
MACHINE_FOLDER = "files"
"""Of the pack: what a spreadsheet, an editor, a player or a website reads."""


@dataclass(frozen=True, slots=True)
class Tab:
    """A tab and its pages by file name, each with the words of its link; the first that there is opens with the tab."""

    name: str
    pages: tuple[tuple[str, str], ...]


TABS = (
    Tab("Today", ((INDEX, "Today"),)),
    Tab("Shop", (("buying.html", "Shopping list"),)),
    Tab("Bowls", (("mise-en-place.html", "Bowls"), ("labels.html", "Labels"))),
    Tab("Cook & film", (("stage.html", "Stage"), ("schedule.html", "Schedule"), ("shoot-list.html", "Shot list"))),
    Tab("Lines", (("script.html", "Lines"),)),
    Tab("Check", (("check.html", "Check"), ("coverage.html", "Coverage"), ("contact-sheet.html", "Contact sheet"))),
    Tab("Publish", (("publish.html", "Publish"), ("recipe-card.html", "Recipe card"))),
)
PAGES = tuple(name for tab in TABS for name, _ in tab.pages)
OLD_PLACES = (
    "shoot-list.csv", "buying.csv", "overlays.srt", "overlays.vtt", "chapters.vtt", "recipe.jsonld",
)  # fmt: skip
"""What packs of version 0.2 had beside the pages, and now lies in the folder for machines."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TabLink:
    """A link of the binder; ``here``: it leads to the page that it stands on, ``within``: to the tab that the page is in."""

    name: str
    href: str
    here: bool
    within: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Nav:
    """The tabs, and the pages of the tab that is open where it has several."""

    tabs: tuple[TabLink, ...]
    pages: tuple[TabLink, ...]


NO_NAV = Nav(tabs=(), pages=())


def nav_of(here: str, present: Collection[str]) -> Nav:
    """The links of a page among those that are ``present``; no tab leads to a page that there is not."""
    tabs: list[TabLink] = []
    pages: tuple[TabLink, ...] = ()
    for tab in TABS:
        found = [(name, words) for name, words in tab.pages if name in present or name == here]
        if not found:
            continue
        within = any(name == here for name, _ in found)
        tabs.append(TabLink(name=tab.name, href=found[0][0], here=found[0][0] == here, within=within))
        if within and len(found) > 1:
            pages = tuple(TabLink(name=words, href=name, here=name == here) for name, words in found)
    return Nav(tabs=tuple(tabs) if len(tabs) > 1 else (), pages=pages)


def in_the_old_place(written: Iterable[str], there: Collection[str]) -> tuple[str, ...]:
    """Files of an earlier pack that are ``there`` beside the pages, though what is ``written`` now lies in the folder for machines:
    out of date from now on."""
    names = {name.removeprefix(f"{MACHINE_FOLDER}/") for name in written if name.startswith(f"{MACHINE_FOLDER}/")}
    return tuple(name for name in OLD_PLACES if name in names and name in there)


def machine(name: str) -> str:
    """The path in the pack of a file for machines."""
    return f"{MACHINE_FOLDER}/{name}"
