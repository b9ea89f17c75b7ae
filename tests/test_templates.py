"""Our templates are found, and whatever they are filled with is text."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.documents import render, template_folder
from scriptkit.papers.cautions import PrintedCaution
from scriptkit.papers.mise_en_place import BowlRow, GearItem, MiseEnPlace, TrayView
from scriptkit.papers.page import Page, values_of
from scriptkit.typeface import font_face

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"),
        ("\"'><img src=x onerror=alert(1)>", "&#34;&#39;&gt;&lt;img src=x onerror=alert(1)&gt;"),
        ("{{ 7 * 7 }}{% for x in y %}", "{{ 7 * 7 }}{% for x in y %}"),
        ("salt\u202e\u2066\u200ftlas", "salttlas"),
        ("a & b", "a &amp; b"),
        ("crème fraîche — ½ 塩", "crème fraîche — ½ 塩"),
    ],
)
def test_hostile_names_are_text(name: str, printed: str) -> None:
    page = Page(name, made_by=name, cautions=(PrintedCaution(name, name, name),), allergens=(name,))
    bowl = BowlRow(number=1, step=1, stage="prep", item=name, grams="1 g", household=name, cut=name)
    gear = (GearItem(name=name, steps="step 1"),)
    tray = TrayView(dish=name, shape="●", dish_number=0, servings="2", bowls=(bowl,), vessels=gear, tools=())
    mise = MiseEnPlace(heads=(), trays=(tray,), preheats=(), on_plates=(), times="")
    html = render("mise-en-place.html", "", page=page, **values_of(mise)).replace(font_face(), "")
    assert html.count(printed) >= 8
    assert "<script" not in html
    assert "<img" not in html
    assert "49" not in html
    assert not set("\u202e\u2066\u200f") & set(html)


def test_our_templates_are_where_they_are_looked_for() -> None:
    assert {p.name for p in template_folder().iterdir()} >= {"page.html", "shoot-list.html", "mise-en-place.html"}


@pytest.mark.parametrize("command", ["pack", "shoot", "publish"])
def test_a_template_that_replaces_none_is_told_where_its_name_is_nearly_one(
    command: str, tmp_path: Path, run: Run
) -> None:
    own = tmp_path / "own"
    own.mkdir()
    for name in ("script.txt", "Shoot_list.html", "part.html"):
        (own / name).write_text("mine", encoding="utf-8")
    done = run(command, str(EXAMPLES / "seared-hake.yaml"), "--templates", "own", "-o", "out")
    told = [line for line in done.stderr.splitlines() if "template-name" in line]
    assert done.returncode == 1
    assert [line.split(": ", 1)[1] for line in told] == [
        "warning: Shoot_list.html replaces none of our templates [template-name]",
        "warning: script.txt replaces none of our templates [template-name]",
    ]
    assert "fix: call it shoot-list.html" in done.stderr and "fix: call it script.html" in done.stderr
