"""Labels, purchase list and mise en place in a real browser and on paper: eight labels to a sheet, nothing cut off."""

from __future__ import annotations

import re
import shutil
import subprocess
import textwrap
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table, packs_of

from scriptkit.recipe.reader import read_source
from scriptkit.shoot.mise_en_place import trays_of

PAGES = ["labels.html", "buying.html", "mise-en-place.html"]
MM = 96 / 25.4
"""CSS pixels."""

LONG = (
    """
    dish: "Zwiebelrostbratenunterlagenvorbereitungsanweisung <script>document.title = 'run'</script>"
    short: "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW LONG_WORD"
    servings: 2
    ingredients:
      "LONG_NAME": {amount: 30 g, food: olive oil, prep: "LONG_PREP", pack: 250 g}
      "<img src=http://example.invalid/x.png onerror=document.title='run'>": {amount: 3 g, food: salt}
      butter: {amount: 1 1/8 tbsp, food: "butter, unsalted", prep: "cubes, 12 mm"}
    steps:
      - id: "<svg onload=document.title='run'>averyveryverylongstepnamewithoutanybreakswhatsoeverinit"
        stage: cook
        do: "Bake it until it is done. <script src='http://example.invalid/x.js'></script>"
        add: ["LONG_NAME", "<img src=http://example.invalid/x.png onerror=document.title='run'>", butter]
        vessel: "<iframe src=http://example.invalid>averyverylongvesselnamewithoutanybreaks"
        heat: oven 180 °C
        hands: 1 min
        wait: 40 min
        screen: 20 s
    film: {heroes: 1}
""".replace("LONG_NAME", "W" * 120)
    .replace("LONG_WORD", "m" * 290)
    .replace("LONG_PREP", "verylong" * 50)
)


@pytest.fixture(scope="module")
def packs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    table = Table(tmp_path_factory.mktemp("sources"))
    readings = {
        "supper": read_source(str(EXAMPLES / "harbour-supper.yaml")),
        "loaf": read_source(str(EXAMPLES / "seeded-loaf.yaml")),
        "hostile": table.read(textwrap.dedent(LONG)),
        "us": table.read(
            textwrap.dedent(LONG).replace("servings: 2", "units: us\n    servings: 2".replace("\n    ", "\n"))
        ),
    }
    return packs_of(readings, tmp_path_factory)


def opened(browser: Any, path: Path, width: int, *, media: str = "screen") -> Any:
    page = browser.new_context(viewport={"width": width, "height": 1123}).new_page()
    page.emulate_media(media=media)
    page.goto(path.as_uri())
    page.wait_for_load_state("load")
    return page


def bowls(pack: str) -> int:
    file = {"supper": "harbour-supper", "loaf": "seeded-loaf"}[pack]
    return sum(len(t.bowls) for t in trays_of(read_source(str(EXAMPLES / f"{file}.yaml")).usable()))


LETTER = (215.9, 279.4)
"""Millimetres: 8.5 by 11 inches (ANSI/ASME Y14.1), the paper of a kitchen that writes US units."""


@pytest.mark.parametrize("pack", ["supper", "loaf", "hostile", "us"])
def test_each_label_has_its_eighth_of_the_sheet_and_holds_its_words(
    browser: Any, packs: dict[str, Path], pack: str
) -> None:
    page = opened(browser, packs[pack] / "labels.html", 794, media="print")
    boxes = page.evaluate("""() => [...document.querySelectorAll('.label')].map(e => {
        const b = e.getBoundingClientRect(), s = e.parentElement.getBoundingClientRect();
        const over = [...e.querySelectorAll('*')].map(c => c.getBoundingClientRect())
            .filter(c => c.left < b.left || c.right > b.right || c.top < b.top || c.bottom > b.bottom).length;
        return [b.width, b.height, b.left - s.left, b.top - s.top, over + (e.scrollHeight > e.clientHeight + 1) + (e.scrollWidth > e.clientWidth + 1)];
    })""")
    page.context.close()
    assert len(boxes) == (bowls(pack) if pack in ("supper", "loaf") else 3)
    wide, high = (LETTER[0] / 2, LETTER[1] / 4) if pack == "us" else (105, 74)
    for n, (width, height, left, top, over) in enumerate(boxes):
        assert over == 0
        assert (width, height) == (pytest.approx(wide * MM, abs=0.6), pytest.approx(high * MM, abs=1.2))
        assert left == pytest.approx(n % 2 * wide * MM, abs=1)
        assert top == pytest.approx(n % 8 // 2 * high * MM, abs=3)


@pytest.mark.parametrize("pack", ["supper", "loaf", "hostile", "us"])
def test_the_printed_sheets_are_of_its_paper_with_eight_labels_each(
    browser: Any, packs: dict[str, Path], pack: str, tmp_path: Path
) -> None:
    page = opened(browser, packs[pack] / "labels.html", 794, media="print")
    pdf = page.pdf(prefer_css_page_size=True, path=str(tmp_path / "labels.pdf"))
    page.context.close()
    count = bowls(pack) if pack in ("supper", "loaf") else 3
    sizes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert len(re.findall(rb"/Type /Page\b", pdf)) == -(-count // 8)
    assert {(round(float(w) / 72 * 25.4), round(float(h) / 72 * 25.4)) for w, h in sizes} == (
        {tuple(map(round, LETTER))} if pack == "us" else {(210, 297)}
    )
    if pack in ("supper", "loaf") and shutil.which("pdftotext"):
        done = subprocess.run(
            ["pdftotext", "-layout", str(tmp_path / "labels.pdf"), "-"], capture_output=True, text=True, check=True
        )
        sheets = done.stdout.split("\f")[:-1]
        assert [len(re.findall(r"\d+ of \d+", sheet)) for sheet in sheets] == [
            min(8, count - n) for n in range(0, count, 8)
        ]


def test_a_label_says_step_item_grams_and_cut(browser: Any, packs: dict[str, Path]) -> None:
    page = opened(browser, packs["supper"] / "labels.html", 794)
    words = page.evaluate(
        "[...document.querySelectorAll('.label')].map(e => e.innerText.split(/\\s*\\n\\s*/).join(' | '))"
    )
    page.context.close()
    assert words[1] == "●bisque | 2 of 9 | fennel | 468 g 2 bulbs | sliced, 5 mm | step 4"


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("pack", ["supper", "loaf", "hostile"])
def test_nothing_sticks_out_and_nothing_is_clipped(browser: Any, packs: dict[str, Path], pack: str, name: str) -> None:
    page = opened(browser, packs[pack] / name, 320)
    for width in (320, 390, 794):
        page.set_viewport_size({"width": width, "height": 1123})
        assert cut_off(page, width) == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()


def cut_off(page: Any, width: int) -> Any:
    return page.evaluate(
        """width => [...document.querySelectorAll('body *')].filter(e => !e.closest('.unseen, thead') && e.innerText)
        .filter(e => { const r = e.getBoundingClientRect();
            return r.width && (r.left < 0 || r.right > width + 0.5
                || (getComputedStyle(e).display != 'inline' && e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1)) })
        .map(e => e.tagName + '.' + e.className + ' ' + e.innerText.slice(0, 40))""",
        width,
    )


@pytest.mark.parametrize("name", PAGES)
def test_no_script_runs_and_nothing_is_fetched(browser: Any, packs: dict[str, Path], name: str) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto((packs["hostile"] / name).as_uri())
    page.wait_for_timeout(100)
    tags = page.evaluate("[...new Set([...document.querySelectorAll('*')].map(e => e.localName))]")
    assert asked == [(packs["hostile"] / name).as_uri()]
    assert page.title() != "run"
    assert not set(tags) & {"script", "img", "iframe", "object", "link", "form"}
    page.close()


@pytest.mark.parametrize("name", ["buying.html", "mise-en-place.html"])
@pytest.mark.parametrize("pack", ["supper", "loaf", "hostile"])
def test_on_a4_paper_no_column_is_cut_off(browser: Any, packs: dict[str, Path], pack: str, name: str) -> None:
    width = round((210 - 2 * 12) * MM)  # A4 less the page's margins
    page = opened(browser, packs[pack] / name, width, media="print")
    cut = page.evaluate(
        "[...document.querySelectorAll('td, th, li, p, h3')].filter(e => !e.matches('.tick') && e.scrollWidth > e.clientWidth + 1 && e.clientWidth).map(e => e.innerText)"
    )
    wide = page.evaluate("document.documentElement.scrollWidth")
    page.context.close()
    assert cut == []
    assert wide <= width


@pytest.mark.parametrize("name", ["buying.html"])
def test_on_the_phone_a_row_is_high_enough_for_a_thumb(browser: Any, packs: dict[str, Path], name: str) -> None:
    page = opened(browser, packs["supper"] / name, 390)
    heights = page.evaluate(
        "[...document.querySelectorAll('.buy tr:has(input)')].map(e => e.getBoundingClientRect().height)"
    )
    page.locator(".buy tr:has(input)").first.click(position={"x": 250, "y": 20})
    ticked = page.locator("input:checked").count()
    page.context.close()
    assert min(heights) >= 44  # CSS pixels: target size, WCAG 2.2 success criterion 2.5.5
    assert ticked == 1


@pytest.mark.parametrize("width", [320, 390, 794])
def test_the_number_of_a_bowl_stays_on_one_line(browser: Any, packs: dict[str, Path], width: int) -> None:
    page = opened(browser, packs["loaf"] / "mise-en-place.html", width)
    heights = page.evaluate("""() => [...document.querySelectorAll('td.bowl')].map(e => {
        const range = document.createRange(); range.selectNodeContents(e);
        return [range.getClientRects().length, e.scrollWidth <= e.clientWidth + 1] })""")
    page.context.close()
    assert len(heights) == 10
    assert set(map(tuple, heights)) == {(1, True)}
