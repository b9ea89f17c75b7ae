"""The pictures of the README: the real pages and a frame of the example meal. ``python -m tests.outside.pictures`` renews them.

Needs Chromium and ffmpeg. Pages are rendered as wide as a phone (390 px) or a sheet of A4 (794 px), and the PNG files brought
under 120 kB with a palette of their own colours.
"""

from __future__ import annotations

import datetime
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from scriptkit.video import ffmpeg_path
from tests.chromium import CHROMIUM, QUIET

ROOT = Path(__file__).parent.parent.parent
FOLDER = ROOT / "examples" / "pictures"
LARGEST = 120_000
PHONE, A4 = 390, 794


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A page of the pack and how much of it is shown, in CSS pixels; ``past`` is scrolled over first."""

    name: str
    page: str
    width: int = A4
    height: int = 760
    past: int = 0
    pages_on: int = 0


PICTURES = (
    Picture(name="stage", page="stage.html", width=PHONE, height=844, pages_on=6),
    Picture(name="mise-en-place", page="mise-en-place.html"),
    Picture(name="script", page="script.html"),
    Picture(name="schedule", page="schedule.html"),
    Picture(name="recipe-card", page="recipe-card.html", height=1100),
    Picture(name="coverage", page="coverage.html"),
)
SHOOT = datetime.datetime(2026, 10, 5, 9, 40, tzinfo=datetime.UTC)
"""What the stage page's clock shows: the day of the example's take log."""
OVERLAY, OVERLAY_S = "overlay", 74.0
"""A frame of the preview, at a second where an addition's lower third stands."""


def scriptkit(*arguments: str) -> None:
    """The command, in the checkout. The rough cut has something to see to, which is exit 1."""
    done = subprocess.run([sys.executable, "-m", "scriptkit", *arguments], cwd=ROOT, capture_output=True, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode("utf-8"))


def with_a_palette(ffmpeg: str, source: Path, target: Path, *, at_s: float = 0) -> None:
    """One frame as a PNG of as many colours as keep it small: of 256, 64, 24, the first that does."""
    for colours in (256, 64, 24):
        filters = (
            f"split[a][b];[a]palettegen=max_colors={colours}:stats_mode=single[p];[b][p]paletteuse=dither=none:new=1"
        )
        subprocess.run(
            [
                ffmpeg, "-hide_banner", "-loglevel", "error", "-y", "-ss", str(at_s), "-i", str(source), "-frames:v", "1",
                "-filter_complex", filters, "-compression_level", "100", "-pred", "mixed", str(target),
            ],
            check=True,
        )  # fmt: skip
        if target.stat().st_size < LARGEST:
            return
    raise SystemExit(f"{target} has {target.stat().st_size} bytes: show less of the page")


def photograph(pack: Path, shots: Path) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        for picture in PICTURES:
            page = browser.new_page(viewport={"width": picture.width, "height": picture.height}, color_scheme="light")
            page.clock.set_fixed_time(SHOOT)
            page.goto((pack / picture.page).as_uri())
            page.mouse.wheel(0, picture.past)
            for _ in range(picture.pages_on):
                page.keyboard.press("PageDown")
            page.wait_for_timeout(200)
            page.screenshot(path=shots / f"{picture.name}.png")
            page.close()
        browser.close()


def main() -> None:
    ffmpeg = ffmpeg_path()
    if CHROMIUM is None:
        raise SystemExit("the pictures need Chromium")
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        pack, shots = Path(folder, "pack"), Path(folder)
        meal, cut = "examples/harbour-supper.yaml", "examples/harbour-supper-rough-cut.srt"
        scriptkit("pack", meal, "--log", "examples/harbour-supper-takes.csv", "--cut", cut, "-o", str(pack))
        photograph(pack, shots)
        for picture in PICTURES:
            with_a_palette(ffmpeg, shots / f"{picture.name}.png", FOLDER / f"{picture.name}.png")
        scriptkit("preview", meal, "-o", str(shots / "preview.mp4"))
        with_a_palette(ffmpeg, shots / "preview.mp4", FOLDER / f"{OVERLAY}.png", at_s=OVERLAY_S)
    for path in sorted(FOLDER.glob("*.png")):
        print(f"{path.relative_to(ROOT)}: {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
