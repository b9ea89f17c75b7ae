"""Every page that the program makes, in a real browser: of the example with its log and its cut, and of a long dinner of three dishes
with forty ingredients. Nothing sticks out, no word of a table is broken, and axe-core finds nothing serious in either scheme."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, absent

from scriptkit.pack import make_pack
from scriptkit.production import read

WIDTHS = (320, 390, 768, 1280)
LAMB = [
    ("lamb shoulder", "1.8 kg", "lamb, shoulder"), ("anchovies in oil", "40 g", ""), ("garlic cloves", "30 g", "garlic"),
    ("rosemary, leaves only", "6 g", "rosemary, fresh"), ("preserved lemon, rind only", "40 g", "lemon"),
    ("wholegrain mustard from the quay", "45 g", "mustard, wholegrain"), ("extra-virgin olive oil", "60 ml", "olive oil"),
    ("dry white wine", "250 ml", "wine, white"), ("onions, red, thickly sliced", "400 g", "onion"), ("carrots", "350 g", ""),
    ("celery", "200 g", ""), ("tomato purée", "30 g", "tomato paste"), ("chicken stock", "750 ml", "chicken stock, ready-made"),
    ("fresh breadcrumbs of yesterday's sourdough", "120 g", "bread, white"), ("parsley", "20 g", ""),
]  # fmt: skip
BEANS = [
    ("butter beans", "480 g", "butter beans, canned, with liquid"), ("pointed cabbage", "600 g", "cabbage"), ("leek", "300 g", ""),
    ("butter", "50 g", "butter, unsalted"), ("caraway seeds", "4 g", "caraway"), ("crème fraîche", "120 ml", ""),
    ("vegetable stock", "200 ml", ""), ("lemon juice", "15 ml", ""), ("nutmeg", "1/4 tsp", ""), ("salt", "6 g", ""),
    ("white pepper", "to taste", ""), ("chives", "10 g", ""),
]  # fmt: skip
TART = [
    ("pears, firm", "900 g", "pear"), ("demerara sugar", "90 g", "brown sugar"), ("butter", "120 g", "butter, unsalted"),
    ("ground almonds", "150 g", "almonds, ground"), ("plain flour", "90 g", "wheat flour, white"), ("eggs", "3 medium", ""),
    ("caster sugar", "80 g", "sugar"), ("vanilla extract", "1 tsp", ""), ("baking powder", "1 tsp", ""), ("buttermilk", "150 ml", ""),
    ("double cream", "200 ml", ""), ("raspberries", "200 g", ""), ("lemon zest", "4 g", ""),
]  # fmt: skip
DISHES = {
    "lamb": ("Slow-roasted shoulder of salt-marsh lamb with anchovy, rosemary and preserved-lemon breadcrumbs", LAMB),
    "beans": ("Butter beans with charred spring cabbage, caraway and a spoonful of crème fraîche", BEANS),
    "tart": ("Upside-down pear and almond tart with a sharp buttermilk cream", TART),
}


def _dish(name: str, foods: list[tuple[str, str, str]]) -> str:
    listed = "\n".join(
        f'  "{key}": {{amount: {amount}{f", food: {food!r}" if food else ""}}}' for key, amount, food in foods
    )
    half = len(foods) // 2
    first, rest = (", ".join(f'"{key}"' for key, _, _ in part) for part in (foods[:half], foods[half:]))
    return f"""\
dish: "{name}"
servings: 6
ingredients:
{listed}
steps:
  - {{id: begin-with-what-takes-longest, stage: cook, do: "Put it into the casserole, and stir it until it smells of the harbour.", add: [{first}], vessel: wide casserole with a lid, heat: medium, hands: 8 min, wait: 20 min, screen: 40 s, say: "Everything goes in, and nobody leaves the stove."}}
  - {{id: finish-it, stage: cook, do: "Add the rest, and cook it through.", add: [{rest}], vessel: wide casserole with a lid, heat: "180 °C", hands: 4 min, wait: 35 min, screen: 40 s}}
"""


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Of each pack its folder."""
    found = {name: tmp_path_factory.mktemp(name) for name in ("supper", "dinner")}
    sources = tmp_path_factory.mktemp("sources")
    for key, (name, foods) in DISHES.items():
        (sources / f"{key}.yaml").write_text(_dish(name, foods), encoding="utf-8")
    meal = sources / "dinner.yaml"
    dishes = "".join(f"  - {{dish: {key}.yaml, portion: 1 serving}}\n" for key in DISHES)
    meal.write_text(
        f"meal: Midsummer dinner on the harbour wall for the volunteers of the lifeboat house\nplates: 6\ndishes:\n{dishes}kitchen: {{cooks: 2, ovens: 3}}\n",
        encoding="utf-8",
    )
    supper = read(
        str(EXAMPLES / "harbour-supper.yaml"),
        log=str(EXAMPLES / "harbour-supper-takes.csv"),
        cut=str(EXAMPLES / "harbour-supper-rough-cut.srt"),
    )
    for name, production in (("supper", supper), ("dinner", read(str(meal)))):
        for file, text in make_pack(production, to_print=True).files.items():
            if file.endswith(".html"):
                (found[name] / file).write_text(text, encoding="utf-8", newline="")
    return found


BROKEN = """() => {
  const broken = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    if (!node.parentElement.closest('td, th')) continue;
    for (const found of node.data.matchAll(/[^\\s\\-–—·/,.;:()“”]+/g)) {
      range.setStart(node, found.index);
      range.setEnd(node, found.index + found[0].length);
      const tops = new Set([...range.getClientRects()].filter(r => r.width > 1).map(r => Math.round(r.top)));
      if (tops.size > 1) broken.push(found[0]);
    }
  }
  return broken }"""
OVER = """() => [...document.querySelectorAll('td, th')].filter(e => e.offsetWidth > 1 && !(e.closest('thead')?.offsetWidth <= 1)).filter(e => {
  const range = document.createRange();
  range.selectNodeContents(e);
  const text = range.getBoundingClientRect(), cell = e.getBoundingClientRect();
  return text.width && (text.left < cell.left - 1.5 || text.right > cell.right + 1.5) && !e.querySelector('input')
}).map(e => e.innerText)"""


@pytest.mark.parametrize("pack", ["supper", "dinner"])
def test_nothing_sticks_out_and_no_word_of_a_table_is_broken(browser: Any, folders: dict[str, Path], pack: str) -> None:
    wrong = []
    page = browser.new_page()
    for path in sorted(folders[pack].glob("*.html")):
        page.goto(path.as_uri())
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            wide = page.evaluate("document.documentElement.scrollWidth")
            found = [*page.evaluate(BROKEN), *page.evaluate(OVER)]
            if wide > width or found:
                wrong.append((path.name, width, wide, found[:4]))
    page.close()
    assert wrong == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("pack", ["supper", "dinner"])
def test_axe_finds_nothing_serious(browser: Any, folders: dict[str, Path], pack: str, scheme: str) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        absent("axe-playwright-python")
    grave = []
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    for path in sorted(folders[pack].glob("*.html")):
        page.goto(path.as_uri())
        found = Axe().run(page).response
        assert found["passes"], path.name
        grave += [
            (path.name, v["id"], v["impact"], v["nodes"][0]["html"][:120])
            for v in found["violations"]
            if v["impact"] in ("serious", "critical")
        ]
    context.close()
    assert grave == []


def test_axe_finds_nothing_serious_on_the_page_of_a_folder(
    browser: Any, run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        absent("axe-playwright-python")
    assert run("check", str(EXAMPLES), "--page", "recipes.html").returncode == 1
    for scheme in ("light", "dark"):
        context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme, bypass_csp=True)
        page = context.new_page()
        page.goto((tmp_path / "recipes.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        found = Axe().run(page).response
        assert [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")] == []
        context.close()
