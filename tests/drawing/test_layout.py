"""Where everything of an overlay stands: inside the safe area, large enough for a phone, the figure first."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES

from scriptkit.drawing.canvas import SIZES, Canvas, canvas_of
from scriptkit.drawing.layout import Fonts, Graphic, graphic_of, wrapped
from scriptkit.drawing.shown import house_fonts, merged
from scriptkit.production import read
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.title import Title, TitleFigure, together

FONTS: Fonts = house_fonts()


def inside(graphic: Graphic, canvas: Canvas) -> None:
    """5 % of the frame from its edges; on vertical video clear of the lower fifth and the right 15 %. Every text in its panel, none on
    another, none under 12 px where the film is 390 px wide."""
    panel = graphic.boxes[0]
    right, foot = (0.85, 0.8) if canvas.vertical else (0.95, 0.95)
    assert panel.x >= canvas.width * 0.05 - 0.1 and panel.y >= canvas.height * 0.05 - 0.1
    assert panel.x + panel.width <= canvas.width * right + 0.1
    assert panel.y + panel.height <= canvas.height * foot + 0.1
    spans = []
    for text in graphic.texts:
        wide = FONTS.of(text.bold).width(text.text) * text.size
        assert text.size * 390 / canvas.width >= 12
        assert panel.x < text.x and text.x + wide < panel.x + panel.width
        assert panel.y <= text.y - text.size * 0.67 and text.y + text.size * 0.2 <= panel.y + panel.height
        spans.append((text.y, text.x, text.x + wide))
    for n, (y, left, end) in enumerate(spans):
        assert not any(y == y2 and left < end2 and left2 < end for y2, left2, end2 in spans[n + 1 :])
    for box in graphic.boxes[1:]:
        assert panel.x <= box.x and box.x + box.width <= panel.x + panel.width
        assert panel.y <= box.y and box.y + box.height <= panel.y + panel.height


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["harbour-supper", "quay-dinner"])
def test_every_overlay_of_the_examples_stands_where_it_may(name: str, size: str) -> None:
    production = read(str(EXAMPLES / f"{name}.yaml"), profile="vertical-short" if "9x16" in size else "streaming")
    canvas = canvas_of(*SIZES[size])
    for cue in merged(production.cues):
        inside(graphic_of(cue, canvas, FONTS), canvas)


def cue(title: Title | None, track: str = "addition", lines: tuple[str, ...] = ("x",)) -> Cue:
    return Cue(start_ms=0, end_ms=4_000, lines=lines, track=track, title=title)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    "name",
    [
        "Salt",
        "Slow-braised shoulder of harbour mutton with pickled samphire, potted shrimps and brown butter",
        "Fish & <chips> {x}",
    ],
)
def test_any_name_stays_on_its_panel(name: str, size: str) -> None:
    canvas = canvas_of(*SIZES[size])
    several = tuple(TitleFigure(amount, name, "2 tbsp") for amount in ("1.18 kg", "28 g", "to taste"))
    for title in (Title(several[:1]), Title(several), Title(several[:2], heading=name)):
        inside(graphic_of(cue(title), canvas, FONTS), canvas)
    for track in ("safety", "time", "sound"):
        inside(graphic_of(cue(None, track, (name,)), canvas, FONTS), canvas)


def test_the_amount_is_read_first_and_the_name_second() -> None:
    graphic = graphic_of(cue(Title((TitleFigure("28 g", "Butter", "2 tbsp"),))), canvas_of(1920, 1080), FONTS)
    sizes = {text.text: text.size for text in graphic.texts}
    assert list(sizes) == ["28", "g", "2 tbsp", "Butter"]
    assert sizes["28"] > sizes["Butter"] > sizes["2 tbsp"] >= 60


def test_net_carbs_are_the_largest_of_at_most_five_figures_and_the_bar_is_the_plate_s_energy() -> None:
    canvas = canvas_of(1920, 1080)
    cards = [c for c in merged(read(str(EXAMPLES / "harbour-supper.yaml")).cues) if c.title and c.title.shares]
    assert len(cards) >= 3  # a card that takes two captions is one graphic
    for card in cards:
        assert card.title is not None
        assert len(card.title.figures) <= 4  # and the weight of the serving
        graphic = graphic_of(card, canvas, FONTS)
        largest = max(graphic.texts, key=lambda t: t.size)
        assert card.title.figures[0].name == "net carbs"
        assert card.title.figures[0].amount.startswith(largest.text)
        bar = [b for b in graphic.boxes[1:] if b.height > canvas.small * 0.52 and b.width > canvas.small]
        whole = sum(s.kcal for s in card.title.shares)
        for box, share in zip(bar, [s for s in card.title.shares if s.kcal > whole * 0.07], strict=True):
            assert box.width / sum(b.width for b in bar) == pytest.approx(share.kcal / whole, abs=0.05)


def test_titles_are_joined_unless_one_of_them_is_a_card() -> None:
    salt, oil = Title((TitleFigure("3 g", "Salt"),)), Title((TitleFigure("5 g", "Oil"),))
    assert together([salt, oil]) == Title((TitleFigure("3 g", "Salt"), TitleFigure("5 g", "Oil")))
    assert together([salt, None]) is None
    assert together([salt, Title((), heading="Plate")]) is None


def test_no_word_is_left_alone_in_the_last_line() -> None:
    font = house_fonts().bold
    text = "Towel on the lid; 4 batches, start slow"
    width = font.width("Towel on the lid; 4 batches, start") * 40 + 1
    first, last = wrapped(text, font, 40, width)
    assert f"{first} {last}" == text
    assert font.width(last) >= 0.5 * font.width(first)
    assert wrapped("Soft butter", font, 40, width) == ["Soft butter"]
    three = wrapped(" ".join(["butter"] * 9), font, 40, font.width("butter butter butter butter") * 40 + 1)
    assert len(three) == 3  # as many lines as are needed


@pytest.mark.parametrize("width", range(60, 900, 40))
def test_wrapping_keeps_every_word_and_the_width(width: int) -> None:
    font = house_fonts().regular
    text = "Oil short of smoking; lay it away from you, extractor on and a lid beside you"
    lines = wrapped(text, font, 30, width)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(font.width(line) * 30 <= width + 1e-6 or len(line) == 1 for line in lines)
