"""The overlay as pictures and films with a clear background, by ffmpeg: ProRes 4444, VP9 with alpha, PNG."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scriptkit.drawing.ass import FADE_MS, Timed, write_ass
from scriptkit.drawing.canvas import Canvas
from scriptkit.drawing.layout import Fonts
from scriptkit.measure.timecode import FrameRate, ms_to_frames
from scriptkit.problems import CannotDo, Place, error
from scriptkit.process_limits import for_a_helper

_OF_FRAMES = "setparams=color_primaries=bt709:color_trc=bt709:colorspace=bt709:range=tv"
_REC709 = ["-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace", "bt709", "-color_range", "tv"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipKind:
    """``suffix`` of its file, ``pixels`` and ``coding`` as ffmpeg names them; ``moves``: a film and no still. Colours are not multiplied by
    their alpha."""

    name: str
    suffix: str
    pixels: str
    coding: tuple[str, ...]
    moves: bool = True


KINDS = {
    kind.name: kind
    for kind in (
        ClipKind(
            name="prores", suffix=".mov", pixels="yuva444p10le",
            coding=("-c:v", "prores_ks", "-profile:v", "4444", "-alpha_bits", "16", "-vendor", "apl0", "-qscale:v", "11",
                    "-bsf:v", "prores_metadata=color_primaries=bt709:color_trc=bt709:colorspace=bt709"),
        ),
        ClipKind(
            name="vp9", suffix=".webm", pixels="yuva420p",
            coding=("-c:v", "libvpx-vp9", "-auto-alt-ref", "0", "-b:v", "0", "-crf", "22", "-deadline", "realtime",
                    "-cpu-used", "7", "-row-mt", "1"),
        ),
        ClipKind(name="png", suffix=".png", pixels="rgba", coding=("-c:v", "png"), moves=False),
    )
}  # fmt: skip
"""By the names that a person asks for. ProRes says its colours in every frame, which some versions of the encoder leave at *unknown*, and in
the file, as the options for all do."""


def put_fonts(fonts: Fonts, folder: Path) -> None:
    """The font files where ffmpeg is told to look for them."""
    folder.mkdir(exist_ok=True)
    for name, font in (("regular", fonts.regular), ("bold", fonts.bold)):
        (folder / f"{name}.ttf").write_bytes(font.sfnt)


def clip_command(ffmpeg: str, canvas: Canvas, kind: ClipKind, frames: int, rate: FrameRate, target: Path) -> list[str]:
    """One overlay of ``one.ass``, which stands from 0, on a clear background. It is drawn once and then only faded."""
    per_second = f"{rate.exact.numerator}/{rate.exact.denominator}"
    seconds = frames / float(rate.exact)
    chain = [
        f"color=c=black@0:s={canvas.width}x{canvas.height}:r={per_second}:d={1 / float(rate.exact):.6f}", "format=rgba",
        "subtitles=filename=one.ass:fontsdir=fonts:alpha=1", "format=gbrap", "unpremultiply=inplace=1",
    ]  # fmt: skip
    if kind.moves:
        fade = min(FADE_MS / 1000, seconds / 2)
        chain += [
            f"loop=loop={max(frames - 1, 0)}:size=1:start=0", f"setpts=N/({per_second})/TB",
            f"fade=t=in:st=0:d={fade:.3f}:alpha=1", f"fade=t=out:st={seconds - fade:.4f}:d={fade:.3f}:alpha=1",
            "scale=out_color_matrix=bt709:out_range=tv",
        ]  # fmt: skip
    chain += [f"format={kind.pixels}", *([_OF_FRAMES] if kind.moves else [])]
    tags = _REC709 if kind.moves else []
    return [
        ffmpeg, "-hide_banner", "-loglevel", "error", "-nostdin", "-y", "-f", "lavfi", "-i", ",".join(chain),
        "-frames:v", str(frames if kind.moves else 1), *kind.coding, *tags, str(target),
    ]  # fmt: skip


def whole_command(ffmpeg: str, canvas: Canvas, kind: ClipKind, frames: int, rate: FrameRate, target: Path) -> list[str]:
    """The whole length of ``all.ass`` as one film."""
    per_second = f"{rate.exact.numerator}/{rate.exact.denominator}"
    chain = (
        f"color=c=black@0:s={canvas.width}x{canvas.height}:r={per_second},format=rgba,"
        "subtitles=filename=all.ass:fontsdir=fonts:alpha=1,format=gbrap,unpremultiply=inplace=1,"
        f"scale=out_color_matrix=bt709:out_range=tv,format={kind.pixels},{_OF_FRAMES}"
    )
    return [
        ffmpeg, "-hide_banner", "-loglevel", "error", "-nostdin", "-y", "-f", "lavfi", "-i", chain,
        "-frames:v", str(frames), *kind.coding, *_REC709, str(target),
    ]  # fmt: skip


def make_clip(
    ffmpeg: str, one: Timed, canvas: Canvas, fonts: Fonts, kind: ClipKind, rate: FrameRate, folder: Path
) -> Path:
    """The overlay as a file of this kind in the folder, which has the fonts. Raises CannotDo with what ffmpeg says."""
    frames = max(ms_to_frames(one.end_ms, rate) - ms_to_frames(one.start_ms, rate), 1)
    still = Timed(0, 3_600_000, one.name, one.graphic)
    text = write_ass([still], one.name, canvas, fonts, fade=False, embed=False, on_nothing=True)
    (folder / "one.ass").write_text(text, encoding="utf-8", newline="\n")
    made = Path(f"one{kind.suffix}")
    run_ffmpeg(clip_command(ffmpeg, canvas, kind, frames, rate, made), folder)
    return folder / made


def make_whole(
    ffmpeg: str, ass: str, canvas: Canvas, kind: ClipKind, length_ms: int, rate: FrameRate, folder: Path
) -> Path:
    """The whole overlay as one film. Raises CannotDo with what ffmpeg says."""
    (folder / "all.ass").write_text(ass, encoding="utf-8", newline="\n")
    made = Path(f"all{kind.suffix}")
    run_ffmpeg(whole_command(ffmpeg, canvas, kind, ms_to_frames(length_ms, rate), rate, made), folder)
    return folder / made


def run_ffmpeg(ordered: Sequence[str], folder: Path) -> None:
    """Raises CannotDo where ffmpeg cannot be run or fails."""
    try:
        done = subprocess.run(ordered, cwd=folder, capture_output=True, check=False, preexec_fn=for_a_helper())
    except OSError as wrong:
        raise _failed(wrong.strerror or str(wrong)) from None
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise _failed(said[-1] if said else "it gave no reason")


def _failed(why: str) -> CannotDo:
    lacks = "No such filter" in why or "Unknown encoder" in why
    hint = (
        "this ffmpeg lacks a part: `pip install imageio-ffmpeg` installs one that has it"
        if lacks
        else "check the free disk space"
    )
    return CannotDo([error(Place("ffmpeg"), "ffmpeg", f"ffmpeg could not make the overlay: {why}", hint)])
