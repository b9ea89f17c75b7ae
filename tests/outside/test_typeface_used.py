"""The typeface of the package where it is read: in a real browser, and drawn by ffmpeg on a machine that has never seen it."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

from conftest import EXAMPLES, packs_of, wait_until

from scriptkit.recipe.reader import read_source
from scriptkit.typeface import FAMILY, font_folder


def test_every_page_is_set_in_it(browser: Any, tmp_path_factory: Any) -> None:
    reading = read_source(str(EXAMPLES / "harbour-supper.yaml"))
    folder = packs_of({"supper": reading}, tmp_path_factory)["supper"]
    pages = sorted(folder.rglob("*.html"))
    assert len(pages) >= 7
    page = browser.new_page()
    refused: list[str] = []
    page.on("console", lambda message: refused.append(message.text) if message.type == "error" else None)
    for path in pages:
        page.goto(path.as_uri())
        wait_until(page, "document.fonts.status === 'loaded'")
        faces = page.evaluate("[...document.fonts].map(f => [f.family.replaceAll('\"', ''), f.weight, f.status])")
        assert [FAMILY, "400", "loaded"] in faces, path.name
        assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith(f'"{FAMILY}"'), path.name
    page.close()
    assert refused == []


def test_what_draws_captions_takes_the_folder_of_fonts(drawing_ffmpeg: str, tmp_path: Path) -> None:
    (tmp_path / "one.srt").write_text("1\n00:00:00,000 --> 00:00:09,000\n<b>800 g</b> leek ⅓\n", encoding="utf-8")
    folder = str(font_folder()).replace("\\", "/").replace(":", "\\:")
    drawn = f"subtitles=one.srt:fontsdir='{folder}':force_style='Fontname={FAMILY}'"
    film = ["-f", "lavfi", "-i", "color=c=black:s=320x180:r=25:d=1", "-vf", drawn, "-frames:v", "1", "-f", "null", "-"]
    done = subprocess.run(
        [drawing_ffmpeg, "-hide_banner", "-loglevel", "verbose", *film],
        cwd=tmp_path, capture_output=True, encoding="utf-8", check=True,
    )  # fmt: skip
    for weight, style in ((400, "Regular"), (700, "Bold")):
        assert f"({FAMILY}, {weight}, 0) -> {FAMILY.replace(' ', '')}-{style}" in done.stderr
