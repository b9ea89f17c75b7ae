"""Text in a CSV file that no spreadsheet takes for a formula."""

from __future__ import annotations

from scriptkit.problems import printable

_FORMULA = tuple("=+-@＝＋－＠")
"""What a formula may begin with; the wide forms too, which some spreadsheets take for the narrow ones."""


def not_a_formula(cell: str) -> str:
    """The text; with an apostrophe before it where a spreadsheet would read it as a formula.

    >>> not_a_formula("=1+1"), not_a_formula(" ＝1+1"), not_a_formula("Butter 28 g")
    ("'=1+1", "' ＝1+1", 'Butter 28 g')
    """
    first = next((c for c in cell if c.isprintable() and c not in " ·"), "")
    return f"'{cell}" if first in _FORMULA else cell


def harmless(cell: str) -> str:
    """The same of text that anybody may have written; control and direction characters are shown as dots."""
    if cell[:1].isalnum() and cell.isprintable():
        return cell
    return not_a_formula(printable(cell))
