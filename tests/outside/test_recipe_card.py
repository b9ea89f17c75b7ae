"""The recipe card in a real browser: one page of A4 and of letter, nothing cut off on a phone, readable in both schemes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table, absent

from scriptkit.papers.files import publish_files
from scriptkit.publish.chapters import chapters_of_plan
from scriptkit.publish.publication import publication_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of

CARDS = ("harbour-supper", "quay-dinner", "oven-lunch", "seeded-loaf", "pork-chops")
CONTRAST = 4.5
"""WCAG 2.2, SC 1.4.3, level AA."""

_CUT_OFF = """() => {
  const wide = document.documentElement.clientWidth;
  return [...document.querySelectorAll('body *')].filter(e => {
    const box = e.getBoundingClientRect();
    return box.width && (box.right > wide + 1 || box.left < -1 || e.scrollWidth > e.clientWidth + 1 && e.clientWidth);
  }).map(e => e.tagName + ': ' + e.textContent.slice(0, 40));
}"""

_CONTRASTS = """() => {
  const light = c => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
  const luminance = ([r, g, b]) => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
  const rgb = text => text.match(/[0-9.]+/g).map(Number);
  const behind = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] > 0) return c; }
    return [255, 255, 255]; };
  const own = e => [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
  return [...document.querySelectorAll('body, body *')].filter(own).map(e => {
    const [a, b] = [luminance(rgb(getComputedStyle(e).color)), luminance(behind(e))].sort((x, y) => y - x);
    return [(a + 0.05) / (b + 0.05), e.tagName + ': ' + e.textContent.trim().slice(0, 30)];
  });
}"""


def written(folder: Path, source: Dish | Meal, servings: float | None = None) -> Path:
    publication = publication_of(source, chapters_of_plan(plan_of(source)), servings)
    files, _ = publish_files(publication)  # what it tells has its own test
    path = folder / "recipe-card.html"
    path.write_text(files["recipe-card.html"], encoding="utf-8")
    return path


def example(name: str) -> Dish | Meal:
    return read_source(str(EXAMPLES / f"{name}.yaml")).usable()


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page(?![s\w])", pdf))


def long_dish(steps: int, ingredients: int, words: int) -> str:
    names = [f"part {n}" for n in range(ingredients)]
    listed = "\n".join(
        f"  {name}: {{amount: {7 + 31 * n} g, food: leek, prep: 'sliced, 5 mm'}}" for n, name in enumerate(names)
    )
    rows = "\n".join(
        f'  - {{stage: cook, do: "{"Sear it well in the wide pan. " * words}", heat: high, wait: 7 min, add: [{", ".join(names) if not n else ""}]}}'
        for n in range(steps)
    )
    return f"dish: Long broth of everything on the quay\nservings: 2\ningredients:\n{listed}\nsteps:\n{rows}\n"


@pytest.mark.parametrize("name", CARDS)
def test_a_card_prints_on_one_page_of_either_paper(name: str, browser: Any, tmp_path: Path) -> None:
    page = browser.new_page()
    page.goto(written(tmp_path, example(name)).as_uri())
    for paper in ("A4", "Letter"):
        assert pages(page.pdf(format=paper)) == 1, paper
    page.close()


@pytest.mark.parametrize(
    ("steps", "ingredients", "words"),
    [
        (3, 3, 1),
        (9, 12, 2),
        (24, 4, 1),
        (14, 14, 2),
        (6, 26, 1),
        (10, 10, 5),
        (12, 20, 2),
        (20, 6, 1),
    ],
)
def test_what_the_estimate_fits_on_a_page_is_printed_on_one(
    steps: int, ingredients: int, words: int, browser: Any, table: Table, tmp_path: Path
) -> None:
    path = written(tmp_path, table.dish(long_dish(steps, ingredients, words)))
    page = browser.new_page()
    page.goto(path.as_uri())
    assert [pages(page.pdf(format=paper)) for paper in ("A4", "Letter")] == [1, 1]
    page.emulate_media(media="print")
    smallest = page.evaluate(
        "() => Math.min(...[...document.querySelectorAll('body *')].map(e => parseFloat(getComputedStyle(e).fontSize)))"
    )
    assert smallest >= 8 * 96 / 72 - 0.01  # 8 pt
    page.close()


def test_a_recipe_that_needs_two_pages_loses_nothing(browser: Any, table: Table, tmp_path: Path) -> None:
    page = browser.new_page()
    page.goto(written(tmp_path, table.dish(long_dish(60, 40, 3))).as_uri())
    assert pages(page.pdf(format="A4")) >= 2
    assert page.locator("ol > li").count() == 60
    page.close()


@pytest.mark.parametrize("width", [320, 390, 794])
def test_nothing_is_cut_off(width: int, browser: Any, tmp_path: Path) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.goto(written(tmp_path, example("harbour-supper")).as_uri())
    assert page.evaluate(_CUT_OFF) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.close()


def test_long_words_are_broken_and_not_cut_off(browser: Any, table: Table, tmp_path: Path) -> None:
    word = "W" * 100
    dish = table.dish(
        f"dish: {word}\nservings: 20\ningredients: {{{word}: {{amount: 12 kg, food: leek, prep: {word}}}}}\n"
        f"steps: [{{stage: cook, do: {word}, add: [{word}]}}]"
    )
    page = browser.new_page(viewport={"width": 390, "height": 900})
    page.goto(written(tmp_path, dish).as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_contrast_in_both_schemes(scheme: str, browser: Any, tmp_path: Path) -> None:
    page = browser.new_page(color_scheme=scheme)
    page.goto(written(tmp_path, example("harbour-supper")).as_uri())
    found = page.evaluate(_CONTRASTS)
    assert len(found) > 60
    assert [one for one in found if one[0] < CONTRAST] == []
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (ground == "rgb(255, 255, 255)") is (scheme == "light")
    page.close()


def test_paper_is_always_light(browser: Any, tmp_path: Path) -> None:
    page = browser.new_page(color_scheme="dark")
    page.goto(written(tmp_path, example("harbour-supper")).as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    ink = page.evaluate("getComputedStyle(document.body).color")
    assert ink == "rgb(29, 39, 48)"
    found = page.evaluate(_CONTRASTS)
    assert [one for one in found if one[0] < CONTRAST] == []
    page.close()


def test_the_page_asks_the_network_for_nothing_and_runs_no_script(browser: Any, tmp_path: Path) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda wrong: asked.append(str(wrong)))
    path = written(tmp_path, example("fennel-bisque"))
    page.goto(path.as_uri())
    assert asked == [path.as_uri()]
    page.close()


def test_both_columns_of_quantities_line_up(browser: Any, tmp_path: Path) -> None:
    page = browser.new_page(viewport={"width": 794, "height": 900})
    page.goto(written(tmp_path, example("fennel-bisque")).as_uri())
    for column in ("td.figure:not(.us)", "td.figure.us"):
        rights = page.evaluate(
            "s => [...document.querySelectorAll('.quantities ' + s)].map(e => e.getBoundingClientRect().right)", column
        )
        assert len(rights) == 7
        assert max(rights) - min(rights) < 0.5
    page.close()


@pytest.mark.parametrize("name", ["harbour-supper", "fennel-bisque"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(name: str, scheme: str, browser: Any, tmp_path: Path) -> None:
    """axe-core: contrast, headings in order, tables with their heads, landmarks."""
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        absent("axe-playwright-python")
    context = browser.new_context(bypass_csp=True, color_scheme=scheme)
    page = context.new_page()
    page.goto(written(tmp_path, example(name)).as_uri())
    found = Axe().run(page).response
    assert len(found["passes"]) > 10
    assert [(v["id"], v["nodes"][0]["html"][:100]) for v in found["violations"]] == []
    context.close()
