"""The coverage report's files: the page with its matrix, and the cut file that a person may correct."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scriptkit import __version__
from scriptkit.cut.coverage import Coverage, is_of_it
from scriptkit.cut.rescue import Rescue
from scriptkit.problems import Problem

if TYPE_CHECKING:
    from scriptkit.pages import Page

CUT_FILE = "cut.yaml"


def coverage_files(
    coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem], own_templates: str = ""
) -> dict[str, str]:
    """The page, and the cut file where there is a cut of this recipe. Raises CannotDo where a template of the cook's own
    cannot be filled in."""
    from scriptkit.documents import render
    from scriptkit.pages_coverage import coverage_page

    told = coverage_page(coverage, rescues, problems)
    files = {"coverage.html": render("coverage.html", own_templates, page=page_of(coverage), **told)}
    if coverage.cut is not None and is_of_it(coverage.cut):
        from scriptkit.cut.cut_file import write_cut

        files[CUT_FILE] = write_cut(coverage.cut)
    return files


def page_of(coverage: Coverage) -> Page:
    """The title and the maker; no cautions, which stand in the pack."""
    from scriptkit.pages import Page

    return Page(coverage.source.name, f"scriptkit {__version__}", ())
