"""The typeface of the package: which characters it has, how large it is, its terms, and that pages carry it."""

from __future__ import annotations

import base64
import re
from html import unescape
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT, absent

from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.typeface import FAMILY, STACK, WEIGHTS, font_face, font_folder

LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
"""Basic Latin, Latin-1 and Latin Extended-A (The Unicode Standard, blocks U+0000–017F) but their controls."""
SIGNS = "½¼¾⅓⅔⅛⅜⅝⅞°–—…‘’“”×−±≥≤≈≠•→←↑↓✓●○◐■□▲△◆◇\u2007\u2009\u202f\u2011€⁄µ"
FILES = [f"{weight}.woff" for weight in WEIGHTS]


def opened(name: str):  # type: ignore[no-untyped-def]
    try:
        from fontTools.ttLib import TTFont
    except ImportError:
        absent("fonttools")
    return TTFont(font_folder() / name)


@pytest.mark.parametrize("name", FILES)
def test_it_has_what_recipes_are_written_with(name: str) -> None:
    font = opened(name)
    has = font.getBestCmap()
    assert [chr(c) for c in [*LATIN, *map(ord, SIGNS)] if c not in has] == []
    drawn = font["glyf"]
    spaces = {0x20, 0xA0, 0x2007, 0x2009, 0x202F}
    assert [chr(c) for c, glyph in has.items() if c not in spaces and not drawn[glyph].numberOfContours] == []


@pytest.mark.parametrize("name", FILES)
def test_figures_stand_in_columns_and_no_sign_is_empty_or_wide(name: str) -> None:
    font = opened(name)
    features = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
    assert "tnum" in features
    widths = {font["hmtx"][f"{glyph}"][0] for glyph in tabular(font)}
    assert len(widths) == 1
    assert font["hmtx"][font.getBestCmap()[0x2007]][0] in widths
    assert all(0 < font["hmtx"][glyph][0] <= 1.3 * font["head"].unitsPerEm for glyph in font.getBestCmap().values())


def tabular(font) -> list[str]:  # type: ignore[no-untyped-def]
    """The glyphs that the figures become in a column."""
    table, found = font["GSUB"].table, {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == "tnum":
            for lookup in record.Feature.LookupListIndex:
                for part in table.LookupList.Lookup[lookup].SubTable:
                    found |= part.mapping
    return [found[font.getBestCmap()[ord(figure)]] for figure in "0123456789"]


def test_characters_that_are_easily_taken_for_one_another_are_drawn_apart() -> None:
    font = opened("regular.woff")
    for alike in ("1Il|", "0O", "68B", "5S", "2Z"):
        outlines = {tuple(font["glyf"][font.getBestCmap()[ord(c)]].getCoordinates(font["glyf"])[0]) for c in alike}
        assert len(outlines) == len(alike)


@pytest.mark.parametrize("name", FILES)
def test_a_font_says_its_name_and_its_terms(name: str) -> None:
    names = opened(name)["name"]
    assert names.getDebugName(1) == FAMILY
    assert "Atkinson Hyperlegible Next Project Authors" in names.getDebugName(0)
    assert "SIL Open Font License, Version 1.1" in names.getDebugName(13)


def test_the_terms_are_in_the_package_whole() -> None:
    text = (ROOT / "scriptkit" / "LICENCES.md").read_text(encoding="utf-8")
    for words in ("SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007", "PERMISSION & CONDITIONS", "TERMINATION",
                  "DISCLAIMER", "DEALINGS IN THE FONT SOFTWARE", *(f"`fonts/{name}`" for name in FILES)):  # fmt: skip
        assert words in text


def test_both_weights_of_a_page_are_at_most_60_kb() -> None:
    assert sorted(p.name for p in font_folder().iterdir()) == sorted(FILES)
    assert sum((font_folder() / name).stat().st_size for name in FILES) <= 60_000


def test_the_css_holds_the_fonts_themselves() -> None:
    rules = re.findall(r"@font-face \{(.*?)\}", font_face())
    held = {re.search(r"font-weight: (\d+)", rule)[1]: rule for rule in rules}  # type: ignore[index]
    for weight, css in WEIGHTS.items():
        data = re.search(r"url\(data:font/woff;base64,([\w+/=]+)\)", held[str(css)])
        assert data
        assert base64.b64decode(data[1]) == (font_folder() / f"{weight}.woff").read_bytes()
    assert STACK.startswith(f'"{FAMILY}"')


def pages(path: Path) -> dict[str, str]:
    pack = make_pack(Production(read_source(str(path))))
    return {name: text for name, text in pack.files.items() if name.endswith(".html")}


def test_every_page_carries_the_typeface_and_prints_no_character_that_it_lacks() -> None:
    has = opened("regular.woff").getBestCmap()
    for path in (EXAMPLES / "harbour-supper.yaml", EXAMPLES / "quay-dinner.yaml"):
        found = pages(path)
        assert len(found) >= 7
        for name, html in found.items():
            assert html.count("@font-face") == len(WEIGHTS), name
            assert STACK in html, name
            seen = unescape(re.sub(r"<script.*?</script>|<style>.*?</style>|<[^>]*>", "", html, flags=re.DOTALL))
            assert {c for c in seen if ord(c) not in has} <= {"\n"}, name
