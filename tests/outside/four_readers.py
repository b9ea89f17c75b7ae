"""The same cue in four readers side by side, to be looked at: ``python -m tests.outside.four_readers FOLDER [DISH] [PROFILE]``.

One PNG for each track of the overlay, four pictures in it: WebVTT in Chromium and TTML in imsc.js above, styled ASS in libass and the
transparent picture for an editor below. Needs Chromium, `npm install -g imsc` and ffmpeg.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "outside")]
from chromium import CHROMIUM, QUIET  # noqa: E402
from drawn import picture_in_chromium, picture_in_imsc  # noqa: E402

from scriptkit.drawing.canvas import Canvas, canvas_of  # noqa: E402
from scriptkit.drawing.shown import house_fonts, shown  # noqa: E402
from scriptkit.overlay_clips import KINDS, make_clip, put_fonts, run_ffmpeg  # noqa: E402
from scriptkit.production import Production, read  # noqa: E402
from scriptkit.timed_text.cue import Cue  # noqa: E402
from scriptkit.video import ffmpeg_path  # noqa: E402

WIDE, UPRIGHT = (1280, 720), (720, 1280)
READERS = ("chromium-webvtt", "imsc-ttml", "libass", "clip")
_GREY = "0x707070"
_AT_MS, _STANDS_MS = 500, 1_900


def first_of_each_track(cues: tuple[Cue, ...]) -> Iterator[Cue]:
    """The first cue of each track, from the beginning of the film."""
    seen: set[str] = set()
    for cue in cues:
        if cue.track not in seen:
            seen.add(cue.track)
            yield replace(cue, start_ms=0, end_ms=_STANDS_MS)


def four_pictures(production: Production, cue: Cue, browser: object, ffmpeg: str, size: tuple[int, int]) -> list[bytes]:
    """A PNG of each of the four readers, in the order of READERS."""
    vtt, ttml = (production.written(kind, [cue]) for kind in ("vtt", "ttml"))
    canvas = canvas_of(*size)
    return [
        picture_in_chromium(browser, ffmpeg, vtt, size),
        picture_in_imsc(browser, ttml, size),
        _in_libass(production, cue, ffmpeg, canvas),
        _as_clip(production, cue, ffmpeg, canvas),
    ]


def _in_libass(production: Production, cue: Cue, ffmpeg: str, canvas: Canvas) -> bytes:
    from scriptkit.drawing.shown import overlay_as_ass

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        text = overlay_as_ass([cue], production.source.name, canvas, house_fonts())
        (folder / "one.ass").write_text(text, encoding="utf-8")
        put_fonts(house_fonts(), folder / "fonts")
        under = f"color=c={_GREY}:s={canvas.width}x{canvas.height}:r=10:d=2"
        seen = f"subtitles=filename=one.ass:fontsdir=fonts,trim=start={_AT_MS / 1000}"
        run_ffmpeg(
            [ffmpeg, "-v", "error", "-y", "-f", "lavfi", "-i", f"{under},{seen}", "-frames:v", "1", "one.png"], folder
        )
        return (folder / "one.png").read_bytes()


def _as_clip(production: Production, cue: Cue, ffmpeg: str, canvas: Canvas) -> bytes:
    """What an editor lays over the picture."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        fonts = house_fonts()
        put_fonts(fonts, folder / "fonts")
        (drawn,) = shown([cue], canvas, fonts)
        clip = make_clip(ffmpeg, drawn, canvas, fonts, KINDS["png"], production.rate, folder)
        under = f"color=c={_GREY}:s={canvas.width}x{canvas.height}:d=1"
        run_ffmpeg(
            [ffmpeg, "-v", "error", "-y", "-f", "lavfi", "-i", under, "-i", clip.name,
             "-filter_complex", "[0][1]overlay", "-frames:v", "1", "over.png"], folder,
        )  # fmt: skip
        return (folder / "over.png").read_bytes()


def side_by_side(pictures: list[bytes], target: Path, ffmpeg: str, *, upright: bool) -> None:
    """The four in one PNG: two by two, or upright ones in a row."""
    layout = "0_0|w0_0|w0+w1_0|w0+w1+w2_0" if upright else "0_0|w0_0|0_h0|w0_h0"
    with tempfile.TemporaryDirectory() as name:
        files = [Path(name) / f"{n}.png" for n in range(4)]
        for file, png in zip(files, pictures, strict=True):
            file.write_bytes(png)
        given = [part for file in files for part in ("-i", str(file))]
        edged = ";".join(f"[{n}]format=rgb24,pad=iw+4:ih+4:2:2:white[p{n}]" for n in range(4))
        chain = f"{edged};[p0][p1][p2][p3]xstack=inputs=4:layout={layout}"
        subprocess.run([ffmpeg, "-v", "error", "-y", *given, "-filter_complex", chain, str(target)], check=True)


def main(folder: str, dish: str = "examples/harbour-supper.yaml", profile: str = "streaming") -> None:
    from playwright.sync_api import sync_playwright

    production, ffmpeg = read(str(ROOT / dish), profile=profile), ffmpeg_path()
    upright = production.profile.shape < 1
    Path(folder).mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        for cue in first_of_each_track(production.cues):
            target = Path(folder) / f"{profile}-{cue.track.replace(' ', '-')}.png"
            pictures = four_pictures(production, cue, browser, ffmpeg, UPRIGHT if upright else WIDE)
            side_by_side(pictures, target, ffmpeg, upright=upright)
            print(f"{target}: {' / '.join(READERS)}: “{' '.join(cue.lines)}”")
        browser.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
