"""The terms of any kitchen: a glossary of tools, foods and acts, techniques of long names, and what the pantry calls its foods."""

from __future__ import annotations

import functools

from scriptkit.data_files import text_of
from scriptkit.pantry.table import index

TECHNIQUES = (
    "julienne", "maillard", "maillard reaction", "brunoise", "chiffonade", "mirepoix", "bain-marie", "deglaze", "emulsion", "ganache", "bechamel",
    "hollandaise", "beurre noisette", "sous vide", "en papillote", "cartouche", "vinaigrette", "velouté", "concassé", "bouquet garni",
    "crème anglaise", "mise en place", "remoulade", "gremolata", "mandoline", "ramekin",
)  # fmt: skip
"""Kitchen French and chemistry that recognisers part into words of their own."""


@functools.cache
def pantry_words() -> frozenset[str]:
    """What the pantry calls its foods by one word, and by several."""
    return frozenset(form for name in index() if name.isalpha() for form in (name, f"{name}s"))


@functools.cache
def glossary() -> frozenset[str]:
    """The terms of glossary.txt."""
    text = text_of("scriptkit.captions.proofing", "glossary.txt")
    lines = ",".join(line for line in text.splitlines() if not line.startswith("#"))
    return frozenset(term.strip() for term in lines.split(",") if term.strip())
