"""The pages of the day printed at once: ten sheets at most for the example supper, of A4 and of letter, no background needed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES

from scriptkit.pack import make_pack
from scriptkit.production import read

MOST_SHEETS = {"A4": 9, "Letter": 9}
"""The lines to say begin on the sheet on which the shot list ends: apart, each ended on a sheet that was nearly empty."""


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("pack") / "print.html"
    path.write_text(
        make_pack(read(str(EXAMPLES / "harbour-supper.yaml")), to_print=True).files["print.html"], encoding="utf-8"
    )
    return path


@pytest.mark.parametrize("paper", MOST_SHEETS)
def test_the_supper_is_ten_sheets_at_most(browser: Any, page_file: Path, paper: str) -> None:
    page = browser.new_page()
    page.goto(page_file.as_uri())
    raw = page.pdf(format=paper, print_background=False)
    page.close()
    assert 5 < len(re.findall(rb"/Type\s*/Page\b", raw)) <= MOST_SHEETS[paper]
