"""The overlay as libass draws it through ffmpeg, by its pixels: inside the safe area, clear around it, faded in and out."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from scriptkit.drawing.ass import Timed
from scriptkit.drawing.canvas import SIZES, Canvas, canvas_of
from scriptkit.drawing.layout import graphic_of
from scriptkit.drawing.shown import house_fonts
from scriptkit.fallback_fonts import nowhere_to_be_found
from scriptkit.measure.timecode import RATES
from scriptkit.overlay_clips import KINDS, make_clip, put_fonts
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.title import Share, Title, TitleFigure

CARD = Title(
    (TitleFigure("9–12 g", "net carbs"), TitleFigure("216 kcal", "energy"), TitleFigure("11.2 g", "fat"), TitleFigure("5.1 g", "protein")),
    heading="Fennel bisque", weight="a serving, 320 g",
    shares=(Share("fat", 101), Share("protein", 20), Share("net carbs", 42)),
)  # fmt: skip
CUES = {
    "one": Cue(start_ms=0, end_ms=1_000, lines=("x",), track="addition", title=Title((TitleFigure("28 g", "Butter", "2 tbsp"),))),
    "several": Cue(
        start_ms=0, end_ms=1_000, lines=("x",), track="addition",
        title=Title((TitleFigure("28 g", "Butter"), TitleFigure("1.18 kg", "Stock"), TitleFigure("to taste", "Salt"))),
    ),
    "caution": Cue(start_ms=0, end_ms=1_000, lines=("Hot: jug one third full, vent open",), track="safety"),
    "card": Cue(start_ms=0, end_ms=1_000, lines=("x",), track="macros", title=CARD),
}  # fmt: skip


def made(ffmpeg: str, name: str, kind: str, canvas: Canvas, folder: Path) -> Path:
    fonts = house_fonts()
    put_fonts(fonts, folder / "fonts")
    timed = Timed(0, 1_000, name, graphic_of(CUES[name], canvas, fonts))
    return make_clip(ffmpeg, timed, canvas, fonts, KINDS[kind], RATES["25"], folder)


def alpha(ffmpeg: str, path: Path, frame: int = 0) -> bytes:
    """The alpha of a frame, a byte a pixel."""
    decoder = ["-c:v", "libvpx-vp9"] if path.suffix == ".webm" else []
    pick = ["-vf", f"select=eq(n\\,{frame}),alphaextract,format=gray", "-frames:v", "1", "-f", "rawvideo", "-"]
    return subprocess.run(
        [ffmpeg, "-v", "error", *decoder, "-i", str(path), *pick], capture_output=True, check=True
    ).stdout


def test_letters_of_no_font_on_this_computer_are_known_before_anything_is_drawn(drawing_ffmpeg: str) -> None:
    assert nowhere_to_be_found(drawing_ffmpeg, "𒀀ж", house_fonts()) == {"𒀀"}  # cuneiform; Cyrillic is in most fonts
    assert nowhere_to_be_found(drawing_ffmpeg, "", house_fonts()) == frozenset()
    assert nowhere_to_be_found("no-such-ffmpeg", "𒀀", house_fonts()) == frozenset()


@pytest.mark.parametrize(
    ("asked", "code", "made"),
    [
        (("overlays", "--as", "png", "-o", "out"), 1, {"overlays.ass", "titles.csv", "titles.otio"}),
        (("preview", "-o", "preview.mp4"), 2, None),
    ],
)
def test_nothing_is_drawn_with_boxes_for_letters(
    drawing_ffmpeg: str, run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path,
    asked: tuple[str, ...], code: int, made: set[str] | None, monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr("scriptkit.video.ffmpeg_path", lambda: drawing_ffmpeg)
    (tmp_path / "dish.yaml").write_text(
        "dish: Broth 𒀀\nservings: 2\ningredients:\n  tofu: {amount: 200 g, food: 'tofu, firm'}\n"
        "steps:\n  - {id: warm, stage: cook, do: Warm it., add: {tofu: all}, vessel: saucepan, screen: 10 s}\n",
        encoding="utf-8",
    )
    done = run(asked[0], "dish.yaml", *asked[1:])
    assert done.returncode == code
    assert "nor any other on this computer has 𒀀 (U+12000 cuneiform sign a), as in “Broth 𒀀”" in done.stderr
    assert not (tmp_path / "preview.mp4").exists()
    if made is not None:
        assert {p.name for p in (tmp_path / "out").iterdir() if not p.name.startswith(".")} == made


@pytest.mark.parametrize("size", ["1080p", "4k", "9x16"])
@pytest.mark.parametrize("name", CUES)
def test_nothing_is_drawn_outside_its_panel_and_the_panel_is_safe(
    drawing_ffmpeg: str, name: str, size: str, tmp_path: Path
) -> None:
    canvas = canvas_of(*SIZES[size])
    seen = alpha(drawing_ffmpeg, made(drawing_ffmpeg, name, "png", canvas, tmp_path))
    width, height = canvas.width, canvas.height
    assert len(seen) == width * height
    rows = [y for y in range(height) if any(seen[y * width : (y + 1) * width])]
    columns = [x for x in range(width) if any(seen[x::width])]
    panel = graphic_of(CUES[name], canvas, house_fonts()).boxes[0]
    assert columns[0] == pytest.approx(panel.x, abs=2) and columns[-1] == pytest.approx(panel.x + panel.width, abs=2)
    assert rows[0] == pytest.approx(panel.y, abs=2) and rows[-1] == pytest.approx(panel.y + panel.height, abs=2)
    right, foot = (0.85, 0.8) if size == "9x16" else (0.95, 0.95)
    assert columns[0] >= width * 0.05 - 1 and columns[-1] <= width * right
    assert rows[0] >= height * 0.05 - 1 and rows[-1] <= height * foot + 1


@pytest.mark.parametrize("kind", ["png", "prores"])
def test_the_panel_is_as_opaque_as_it_is_burnt_in(drawing_ffmpeg: str, kind: str, tmp_path: Path) -> None:
    """What an editor lays over the picture looks as the preview does: the panel hides the same share of it."""
    canvas = canvas_of(1280, 720)
    path = made(drawing_ffmpeg, "one", kind, canvas, tmp_path)
    panel = graphic_of(CUES["one"], canvas, house_fonts()).boxes[0]
    assert 0.5 < panel.opacity < 1
    pick = f"select=eq(n\\,{0 if kind == 'png' else 12}),format=rgba,crop=2:2:{round(panel.x) + 6}:{round(panel.y) + 6}"
    command = [drawing_ffmpeg, "-v", "error", "-i", str(path), "-vf", pick, "-frames:v", "1", "-f", "rawvideo", "-"]
    red, green, blue, opaque = subprocess.run(command, capture_output=True, check=True).stdout[:4]
    assert opaque == pytest.approx(255 * panel.opacity, abs=3)
    meant = bytes.fromhex(panel.colour)
    assert (red, green, blue) == tuple(pytest.approx(c, abs=4) for c in meant)


@pytest.mark.parametrize("name", ["one", "card"])
def test_letters_are_where_and_as_large_as_they_are_laid_out(drawing_ffmpeg: str, name: str, tmp_path: Path) -> None:
    """The capital height of the house's bold is 0.668 em; the largest text of the panel is measured by its bright pixels."""
    canvas = canvas_of(1920, 1080)
    path = made(drawing_ffmpeg, name, "png", canvas, tmp_path)
    raw = subprocess.run(
        [drawing_ffmpeg, "-v", "error", "-i", str(path), "-f", "rawvideo", "-pix_fmt", "rgb24", "-"],
        capture_output=True, check=True,
    ).stdout  # fmt: skip
    first = max(graphic_of(CUES[name], canvas, house_fonts()).texts, key=lambda t: t.size)
    wide = house_fonts().bold.width(first.text) * first.size
    box = range(round(first.x), round(first.x + wide * 0.9))
    rows = [
        y for y in range(1080) if any(raw[3 * (y * 1920 + x)] > 200 and raw[3 * (y * 1920 + x) + 2] < 150 for x in box)
    ]
    near = [y for y in rows if abs(y - first.y) < first.size]
    assert max(y for y in near if y <= first.y + first.size * 0.05) == pytest.approx(first.y, abs=first.size * 0.04)
    assert first.y - near[0] == pytest.approx(first.size * 0.67, rel=0.06)


@pytest.mark.parametrize(("kind", "pixels"), [("prores", "yuva444p"), ("vp9", "vp9")])
def test_films_are_clear_where_nothing_is_and_fade(drawing_ffmpeg: str, kind: str, pixels: str, tmp_path: Path) -> None:
    canvas = canvas_of(1280, 720)
    path = made(drawing_ffmpeg, "one", kind, canvas, tmp_path)
    told = subprocess.run(
        [drawing_ffmpeg, "-hide_banner", "-i", str(path)], capture_output=True, text=True, check=False
    ).stderr
    assert pixels in told and "1280x720" in told and "25 fps" in told
    assert "bt709" in told
    if kind == "prores":  # RDD 36:2015, 5.1.1: the frame's header; QuickTime's `colr`: both say 1, 1, 1, BT.709
        raw = path.read_bytes()
        header, box = raw.index(b"icpf") + 4, raw.index(b"colrnclc") + 8
        assert raw[header + 14 : header + 17] == bytes((1, 1, 1)) and raw[box : box + 6] == bytes((0, 1, 0, 1, 0, 1))
    first, middle, last = (alpha(drawing_ffmpeg, path, frame) for frame in (0, 12, 24))
    assert max(middle) > 240 and middle[0] < 8 and middle[-1] < 8
    assert max(first) < 60 and max(last) < 100
