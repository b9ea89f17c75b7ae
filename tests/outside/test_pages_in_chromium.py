"""The pages in a real browser, at the width of a phone and of A4: nothing cut off, nothing run, nothing fetched."""

from __future__ import annotations

import re
import textwrap
import zlib
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table, packs_of

from scriptkit.recipe.reader import read_source

PAGES = ["shoot-list.html", "mise-en-place.html", "script.html"]
PHONE, A4 = 390, 794
"""Width in CSS pixels: a common phone; A4, 210 mm at 96 to the inch."""

LONG = """
    dish: "Zwiebelrostbratenunterlagenvorbereitungsanweisung and a <script>document.title = 'run'</script>"
    servings: 2
    ingredients:
      "<img src=http://example.invalid/x.png onerror=document.title='run'>": {amount: 30 g, food: olive oil}
      extraordinarilylongingredientnamewithoutanybreaks: {amount: 3 g, food: salt, prep: "verylongpreparationwithoutanybreakatall"}
    steps:
      - id: s
        stage: cook
        do: "Sear it. <script src='http://example.invalid/x.js'></script><style>@import 'http://example.invalid/x.css'</style>"
        add: ["<img src=http://example.invalid/x.png onerror=document.title='run'>", extraordinarilylongingredientnamewithoutanybreaks]
        vessel: "<iframe src=http://example.invalid>aveveryverylongvesselnamewithoutanybreaks"
        tools: ["<svg onload=document.title='run'>", "averyveryverylongtoolnamewithoutanybreakswhatsoever"]
        heat: "javascript:document.title='run'"
        screen: 20 s
"""

IN_POUNDS = """
    dish: Salmon in a broth with bay
    units: us
    servings: 4
    ingredients: {salmon: 1 lb 12 ½ oz, bay leaf: 1 g, butter: {amount: 2 ½ tbsp, food: "butter, unsalted"}, salt: to taste}
    steps:
      - {id: sear, stage: cook, do: Sear the salmon., add: {butter: all, salmon: all}, vessel: pan, screen: 20 s}
      - {id: simmer, stage: cook, do: Simmer it with the bay leaf., add: {bay leaf: all, salt: all}, vessel: pan, screen: 20 s}
"""
SPILT = """() => [...document.querySelectorAll('td')].filter(e => !e.matches('.tick') && e.innerText).filter(e => {
  const range = document.createRange(); range.selectNodeContents(e);
  const text = range.getBoundingClientRect(), cell = e.getBoundingClientRect();
  return text.left < cell.left - 1 || text.right > cell.right + 1 }).map(e => e.innerText)"""
"""Cells whose text lies over the next one, to the left as well, where nothing scrolls."""


@pytest.fixture(scope="module")
def packs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of an example meal, of a dish with long and hostile words, and of one in pounds and ounces."""
    table = Table(tmp_path_factory.mktemp("sources"))
    readings = {
        "supper": read_source(str(EXAMPLES / "harbour-supper.yaml")),
        "hostile": table.read(textwrap.dedent(LONG)),
        "pounds": table.read(textwrap.dedent(IN_POUNDS), "pounds.yaml"),
    }
    return packs_of(readings, tmp_path_factory)


class Opened:
    """A page that was opened, and every address it asked for."""

    def __init__(self, browser: Any, path: Path, width: int) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, has_touch=width == PHONE)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())
        self.page.wait_for_load_state("load")

    def __enter__(self) -> Opened:
        return self

    def __exit__(self, *_: object) -> None:
        self.context.close()


OUTSIDE = """width => [...document.querySelectorAll('body *')].filter(e => !e.closest('.unseen, thead') && e.innerText)
    .filter(e => { const r = e.getBoundingClientRect(); return r.width && (r.left < 0 || r.right > width + 0.5) })
    .map(e => e.tagName + ' ' + e.innerText.slice(0, 40))"""
CLIPPED = """() => [...document.querySelectorAll('td, th, h1, h2, h3, p, li')].filter(e => !e.closest('.unseen, .tick'))
    .filter(e => e.offsetWidth > 1 && getComputedStyle(e).display != 'inline')
    .filter(e => !(e.closest('thead') && e.closest('thead').offsetWidth <= 1))
    .filter(e => e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2)
    .map(e => e.tagName + '.' + e.className + ' ' + e.innerText.slice(0, 40))"""


@pytest.mark.parametrize("widths", [(PHONE, 320), (A4, 640, 700, 1280)], ids=["phone", "desk"])
@pytest.mark.parametrize("name", [*PAGES, "buying.html", "schedule.html"])
@pytest.mark.parametrize("pack", ["supper", "hostile"])
def test_nothing_sticks_out_is_clipped_or_runs_into_its_neighbour(
    browser: Any, packs: dict[str, Path], pack: str, name: str, widths: tuple[int, ...]
) -> None:
    with Opened(browser, packs[pack] / name, widths[0]) as opened:
        for width in widths:
            opened.page.set_viewport_size({"width": width, "height": 900})
            assert opened.page.evaluate("document.documentElement.scrollWidth") <= width, width
            if name != "schedule.html":  # its picture scrolls in a frame of its own
                assert opened.page.evaluate(OUTSIDE, width) == [], width
                assert opened.page.evaluate(CLIPPED) == [], width


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("pack", ["supper", "hostile"])
def test_no_script_runs_and_nothing_is_fetched(browser: Any, packs: dict[str, Path], pack: str, name: str) -> None:
    path = packs[pack] / name
    with Opened(browser, path, PHONE) as opened:
        opened.page.wait_for_timeout(100)
        assert opened.asked == [path.as_uri()]
        assert opened.page.title() != "run"
        tags = opened.page.evaluate("[...new Set([...document.querySelectorAll('*')].map(e => e.localName))]")
        assert not set(tags) & {"img", "iframe", "object", "link", "form"}
        links = opened.page.evaluate("[...document.querySelectorAll('a')].map(e => e.getAttribute('href'))")
        assert [x for x in links if not re.fullmatch(r"[a-z-]*(\.html|\.txt)?(#[\w-]*)?", x)] == []  # within the pack
        scripts = opened.page.evaluate("[...document.querySelectorAll('script')].map(e => [e.type, e.id, e.src])")
        assert scripts == []
        handlers = opened.page.evaluate(
            "[...document.querySelectorAll('*')].flatMap(e => [...e.attributes]).filter(a => a.name.startsWith('on')).length"
        )
        assert handlers == 0


@pytest.mark.parametrize("width", [PHONE, A4])
@pytest.mark.parametrize("name", [n for n in PAGES if n != "script.html"])  # nothing is ticked in a script
def test_every_box_has_a_name_and_the_whole_row_ticks_it(
    browser: Any, packs: dict[str, Path], name: str, width: int
) -> None:
    with Opened(browser, packs["supper"] / name, width) as opened:
        names = opened.page.evaluate(
            """[...document.querySelectorAll('input')].map(i => [i.type, [...i.labels].map(l => l.textContent.trim()).join()])"""
        )
        assert all(label for _, label in names)
        boxes = [label for kind, label in names if kind == "checkbox"]
        assert len(boxes) > 20
        assert len(boxes) == len(names)
        row = opened.page.locator("tbody tr").first
        box = row.locator("input")
        assert not box.is_checked()
        row.scroll_into_view_if_needed()
        place = row.bounding_box()
        opened.page.mouse.click(place["x"] + place["width"] * 0.7, place["y"] + place["height"] * 0.5)
        assert box.is_checked()
        opened.page.mouse.click(place["x"] + place["width"] * 0.3, place["y"] + place["height"] * 0.8)
        assert not box.is_checked()
        assert opened.page.locator("input:checked").count() == 0


def test_a_row_on_the_phone_is_high_enough_for_a_thumb(browser: Any, packs: dict[str, Path]) -> None:
    for name in PAGES:
        with Opened(browser, packs["supper"] / name, PHONE) as opened:
            heights = opened.page.evaluate(
                "[...document.querySelectorAll('tbody tr, .ticklist label')].map(e => e.getBoundingClientRect().height)"
            )
            assert min(heights) >= 44  # CSS pixels: target size, WCAG 2.2 success criterion 2.5.5


CONTRASTS = """() => {
  const channels = text => text.match(/[\\d.]+/g).map(Number);
  const ground = e => { for (; e; e = e.parentElement) { const c = channels(getComputedStyle(e).backgroundColor);
    if (c.length < 4 || c[3] > 0) return c; } return [255, 255, 255]; };
  const shown = [];
  for (const e of document.querySelectorAll('body *')) {
    const own = [...e.childNodes].some(n => n.nodeType == 3 && n.textContent.trim());
    if (own && e.getClientRects().length) {
      const style = getComputedStyle(e);
      shown.push([channels(style.color), ground(e), e.innerText.slice(0, 30)]);
    }
  }
  return shown;
}"""


def luminance(rgb: list[float]) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = [c / 255 for c in rgb[:3]]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: list[float], other: list[float]) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_published_figures() -> None:
    # WCAG 2.2 SC 1.4.3: black on white 21; #767676 on white 4.542 passes, #777777 4.478 fails.
    assert contrast([0, 0, 0], [255, 255, 255]) == pytest.approx(21)
    assert contrast([0x76] * 3, [255] * 3) == pytest.approx(4.542, abs=0.001)
    assert contrast([0x77] * 3, [255] * 3) == pytest.approx(4.478, abs=0.001)


@pytest.mark.parametrize("ticked", [False, True])
@pytest.mark.parametrize("width", [PHONE, A4])
@pytest.mark.parametrize("name", PAGES)
def test_all_text_stands_out_from_its_ground(
    browser: Any, packs: dict[str, Path], name: str, width: int, ticked: bool
) -> None:
    with Opened(browser, packs["supper"] / name, width) as opened:
        if ticked:
            opened.page.evaluate("document.querySelectorAll('input').forEach(i => { i.checked = true })")
        shown = opened.page.evaluate(CONTRASTS)
        assert len(shown) > 50
        assert [
            (text, round(contrast(ink, ground), 2)) for ink, ground, text in shown if contrast(ink, ground) < 4.5
        ] == []


def streams(pdf: bytes) -> bytes:
    """What is inside the PDF's compressed streams."""
    out = []
    for found in re.finditer(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL):
        try:
            out.append(zlib.decompressobj().decompress(found.group(1)))
        except zlib.error:
            continue
    return b"\n".join(out)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("pack", ["supper", "hostile"])
def test_on_a4_paper_no_column_is_cut_off(
    browser: Any, packs: dict[str, Path], pack: str, name: str, tmp_path: Path
) -> None:
    printed_mm = 210 - 2 * 12  # A4 less the page's margins
    width = round(printed_mm / 25.4 * 96)
    with Opened(browser, packs[pack] / name, width) as opened:
        opened.page.emulate_media(media="print")
        assert opened.page.evaluate("document.documentElement.scrollWidth") <= width
        heads = opened.page.evaluate(
            "[...document.querySelectorAll('th')].map(e => [e.innerText, e.getBoundingClientRect().right, e.scrollWidth - e.clientWidth])"
        )
        assert heads
        assert [h for h in heads if h[1] > width + 0.5 or h[2] > 1] == []
        cells = opened.page.evaluate(
            "[...document.querySelectorAll('td')].filter(e => !e.matches('.tick') && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"
        )
        assert cells == []
        pdf = opened.page.pdf(prefer_css_page_size=True, format="A4", path=str(tmp_path / "page.pdf"))
    boxes = {tuple(map(float, found)) for found in re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)}
    assert boxes
    for wide, high in boxes:  # A4 in points
        assert wide == pytest.approx(210 / 25.4 * 72, abs=1)
        assert high == pytest.approx(297 / 25.4 * 72, abs=1)
    # Chromium shrinks a page whose content is too wide; at full size its first transformation is 0.24 (300 dpi to 72).
    scales = {float(found) for found in re.findall(rb"^(0?\.\d+) 0 0 -\1 ", streams(pdf), re.MULTILINE)}
    assert scales
    assert all(scale == pytest.approx(0.24, abs=0.001) for scale in scales)


@pytest.mark.parametrize("name", ["shoot-list.html", "mise-en-place.html", "recipe-card.html"])
@pytest.mark.parametrize(("media", "width"), [("print", 703), ("screen", PHONE), ("screen", A4), ("screen", 1280)])
def test_no_amount_lies_over_the_next_column(
    browser: Any, packs: dict[str, Path], name: str, media: str, width: int
) -> None:
    with Opened(browser, packs["pounds"] / name, width) as opened:
        opened.page.emulate_media(media=media)
        assert "under 0.1" in opened.page.evaluate("document.body.innerText")
        assert opened.page.evaluate(SPILT) == []


@pytest.mark.parametrize("width", [PHONE, A4, 1280])
def test_the_reading_view_has_large_lines_with_the_picture_beside_them(
    browser: Any, packs: dict[str, Path], width: int
) -> None:
    with Opened(browser, packs["supper"] / "script.html", width) as opened:
        size = "() => parseFloat(getComputedStyle(document.querySelector('.script .line')).fontSize)"
        assert opened.page.evaluate(size) < 20
        opened.page.get_by_label("Reading view").check()
        assert opened.page.evaluate(size) >= 28
        assert opened.page.locator(".script .video").first.is_visible()
        assert not opened.page.locator(".script .time").first.is_visible()
        assert opened.page.evaluate("document.documentElement.scrollWidth") <= width
        assert opened.page.evaluate(OUTSIDE, width) == []
