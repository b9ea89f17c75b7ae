"""What a reader draws of captions, as pixels: Chromium's own <track> and imsc.js over a plain grey picture."""

from __future__ import annotations

import base64
import functools
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

GREY = 0x70
_DIFFERS = 25
TRACK = """
async ([film, text]) => {
  document.body.style.margin = 0;
  const video = document.createElement('video'), track = document.createElement('track');
  video.style.display = 'block';
  video.src = URL.createObjectURL(await (await fetch('data:video/webm;base64,' + film)).blob());
  track.kind = 'captions';
  track.default = true;
  track.src = URL.createObjectURL(new Blob([text], {type: 'text/vtt'}));
  video.append(track);
  document.body.append(video);
  await new Promise((done) => { track.onload = done; track.track.mode = 'showing'; });
  if (video.readyState < 2) await new Promise((done) => { video.onloadeddata = done; });
  video.currentTime = 0.5;
  await new Promise((done) => { video.onseeked = done; });
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  await new Promise((done) => setTimeout(done, 300));
}
"""
IMSC = """
([text, width, height]) => {
  document.body.style.margin = 0;
  document.body.style.background = '#707070';
  const box = document.createElement('div');
  box.style = `position:relative;width:${width}px;height:${height}px;overflow:hidden`;
  document.body.append(box);
  const read = imsc.fromXML(text, (level, message) => { throw new Error(message); });
  imsc.renderHTML(imsc.generateISD(read, 0.5), box, () => '', height, width);
}
"""


@dataclass(frozen=True, slots=True)
class Drawn:
    """Where anything is drawn, in percent of the picture; ``rows``: for each row of pixels from … to, or None."""

    left: float
    right: float
    top: float
    foot: float
    rows: tuple[tuple[float, float] | None, ...]

    @property
    def off_centre(self) -> float:
        return (self.left + self.right) / 2 - 50


def in_chromium(browser: Any, ffmpeg: str, text: str, size: tuple[int, int]) -> Drawn | None:
    return _drawn(picture_in_chromium(browser, ffmpeg, text, size), ffmpeg, size)


def in_imsc(browser: Any, ffmpeg: str, text: str, size: tuple[int, int]) -> Drawn | None:
    return _drawn(picture_in_imsc(browser, text, size), ffmpeg, size)


def picture_in_chromium(browser: Any, ffmpeg: str, text: str, size: tuple[int, int]) -> bytes:
    """A PNG of the WebVTT text half a second after its beginning."""
    page = browser.new_page(viewport={"width": size[0], "height": size[1]})
    try:
        page.evaluate(TRACK, [_film(ffmpeg, size), text])
        return bytes(page.screenshot())
    finally:
        page.close()


def picture_in_imsc(browser: Any, text: str, size: tuple[int, int]) -> bytes:
    """The same of the TTML text."""
    page = browser.new_page(viewport={"width": size[0], "height": size[1]})
    try:
        page.add_script_tag(content=_imsc_script())
        page.evaluate(IMSC, [text, *size])
        return bytes(page.screenshot())
    finally:
        page.close()


@functools.cache
def _imsc_script() -> str:
    """imsc.js, where `npm install imsc` has put it: beside the tests, or for the whole machine."""
    roots = [Path("node_modules")]
    if npm := shutil.which("npm"):
        roots.append(
            Path(subprocess.run([npm, "root", "-g"], capture_output=True, text=True, check=False).stdout.strip())
        )
    found = next((path for root in roots if (path := root / "imsc" / "dist" / "imsc.all.min.js").is_file()), None)
    if found is None:
        pytest.skip("imsc.js is not installed: `npm install -g imsc`")
    return found.read_text(encoding="utf-8")


@functools.cache
def _film(ffmpeg: str, size: tuple[int, int]) -> str:
    grey = f"color=c=0x707070:s={size[0]}x{size[1]}:r=5:d=2"
    command = [ffmpeg, "-v", "error", "-f", "lavfi", "-i", grey, "-c:v", "libvpx", "-b:v", "100k", "-f", "webm", "-"]
    return base64.b64encode(subprocess.run(command, capture_output=True, check=True).stdout).decode()


def _drawn(png: bytes, ffmpeg: str, size: tuple[int, int]) -> Drawn | None:
    """None where nothing is drawn."""
    command = [ffmpeg, "-v", "error", "-i", "-", "-f", "rawvideo", "-pix_fmt", "gray", "-"]
    grey = subprocess.run(command, input=png, capture_output=True, check=True).stdout
    width, height = size
    rows: list[tuple[float, float] | None] = []
    for y in range(height):
        row = grey[y * width : (y + 1) * width]
        differs = [x for x, shade in enumerate(row) if abs(shade - GREY) > _DIFFERS]
        rows.append((differs[0] / width * 100, (differs[-1] + 1) / width * 100) if differs else None)
    seen = [(y, row) for y, row in enumerate(rows) if row]
    if not seen:
        return None
    return Drawn(
        min(a for _, (a, _) in seen),
        max(b for _, (_, b) in seen),
        seen[0][0] / height * 100,
        (seen[-1][0] + 1) / height * 100,
        tuple(rows),
    )
