"""Which kind of file a recipe stands in: JSON-LD, a saved page, a table of ingredients, or plain text, told by what is in it."""

from __future__ import annotations

import re

from scriptkit.drafting.linked_recipe import recipe_in_json, recipe_in_page
from scriptkit.drafting.plain_recipe import recipe_in_text
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.table_recipe import recipe_in_table

_CHARSET = re.compile(rb"<meta[^>]{0,200}charset\s*=\s*[\"']?([A-Za-z0-9_-]{2,30})", re.IGNORECASE)
_PAGE = re.compile(r"<(?:!doctype\s+html|html|head|body|script|article|main|div|p|section)\b", re.IGNORECASE)


def recipe_of(raw: bytes, file: str, which: str = "") -> RawRecipe:
    """The recipe of the file's bytes; ``file`` only names it. ``which``: of several, by number or name. Raises NoRecipe where there is
    none that can be read."""
    text = _decoded(raw)
    start = text.lstrip("\ufeff \t\r\n")
    if start[:1] in ("{", "[") or file.casefold().endswith((".json", ".jsonld")):
        return recipe_in_json(text, which)
    if _PAGE.search(text):
        return recipe_in_page(text, which)
    if (listed := recipe_in_table(text, file)) is not None:
        return listed
    return recipe_in_text(text)


def _decoded(raw: bytes) -> str:
    """UTF-8 or UTF-16 as marked, else what the page says of itself, else Latin-1, in which every byte is a character."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", errors="replace")
    if b"\0" in raw[:4096]:
        raise NoRecipe("this is not a text file", "give a saved page (.html), recipe data (.json) or a text (.txt)")
    told = _CHARSET.search(raw[:4096])
    for name in ("utf-8", told.group(1).decode("ascii") if told else "windows-1252"):
        try:
            return raw.decode(name)
        except (UnicodeError, LookupError):
            continue
    return raw.decode("latin-1")
