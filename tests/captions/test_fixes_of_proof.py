"""Every `fix:` of `proof`, done as it says on a small file: the problem is gone, and no other comes in its place. A row of ROWS is a
problem: its code, the file, what its hint says, and how a cook follows it."""

from __future__ import annotations

import random
import re
import shlex
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from messages import MESSAGE

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.losses import would_be_lost
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repaired, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.reading import parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]
FIX, COPY = "--fix", "copy"
"""Followed by `proof --fix`, or by copying the commands of the hint; else by pairs of what is replaced by what."""

ONE = "1\n00:00:01,000 --> 00:00:03,000\nSoften the leeks.\n"
TWO = f"{ONE}\n2\n00:00:04,000 --> 00:00:06,000\nAdd the stock.\n"
VTT = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nSoften the leeks.\n"
ASS = (
    "[Script Info]\nScriptType: v4.00+\n\n[Events]\nFormat: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text\n"
    "Dialogue: 0,0:00:01.00,0:00:03.00,Default,,0,0,0,,Soften the leeks.\n"
)
TTML = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<tt xmlns="http://www.w3.org/ns/ttml" xml:lang="en"><body><div>\n'
    '<p begin="00:00:01.000" end="00:00:03.000">Soften the leeks.</p>\n</div></body></tt>\n'
)
LONG = "Soften the leeks slowly in half of the butter and keep a lid on it"
"""67 letters: 3.35 s at 20 a second."""
HALVES = LONG.replace(" in half", "\nin half")


def srt(*cues: tuple[str, str]) -> str:
    return "\n".join(f"{n}\n{times}\n{text}\n" for n, (times, text) in enumerate(cues, 1))


Edits = tuple[tuple[str, str], ...]
ROWS: list[tuple[str, str, str | bytes, str, str, str | Edits]] = [
    # code, file, its text, options, what the hint says, how it is followed
    ("kind", "cut.vtt", TWO, "", "name it cut.srt", (("name", "cut.srt"),)),
    ("reversed", "cut.srt", TWO.replace("00:00:03,000", "00:00:00,100"), "", "swap its times: 00:00:00,100 to 00:00:01,000",
     (("00:00:01,000 --> 00:00:00,100", "00:00:00,100 --> 00:00:01,000"),)),
    ("reversed", "cut.srt", TWO.replace("00:00:03,000", "00:00:01,000"), "", "write its end, such as 00:00:02,000", (("--> 00:00:01,000", "--> 00:00:02,000"),)),
    ("reversed", "cut.ass", ASS.replace("0:00:03.00", "0:00:01.00"), "", "write its end, such as 0:00:02.00", (("0:00:01.00,0:00:01.00", "0:00:01.00,0:00:02.00"),)),
    ("reversed", "cut.srt", TWO.replace("--> 00:00:03,000", "-->"), "", "write 00:00:01,000 --> 00:00:02,190", (("00:00:01,000 -->", "00:00:01,000 --> 00:00:02,190"),)),
    ("reversed", "cut.srt", srt(("00:00:01,000 --> 00:00:02,000", "Soften."), ("00:00:04,000", "Add the stock.")), "", "write 00:00:04,000 --> 00:00:05,000",
     (("00:00:04,000", "00:00:04,000 --> 00:00:05,000"),)),
    ("reversed", "cut.vtt", VTT.replace(" --> 00:00:03.000", ""), "", "write 00:00:01.000 --> 00:00:02.190", (("00:00:01.000", "00:00:01.000 --> 00:00:02.190"),)),
    ("order", "cut.srt", srt(("00:00:04,000 --> 00:00:06,000", "Add the stock."), ("00:00:01,000 --> 00:00:03,000", "Soften.")), "", "sort the cues", FIX),
    ("overlap", "cut.srt", TWO.replace("00:00:03,000", "00:00:05,000"), "", "end that one at 00:00:04,000: `--fix` does", FIX),
    ("overlap", "cut.srt", TWO.replace("00:00:03,000", "00:00:05,000"), "", "end that one at 00:00:04,000", (("00:00:05,000", "00:00:04,000"),)),
    ("overlap", "cut.ttml", TTML.replace("</p>", '</p>\n<p begin="00:00:02.000" end="00:00:04.000">Stock.</p>'), "", "end that one at 00:00:02.000: `--fix` does", FIX),
    ("overlap", "cut.srt", srt(("00:00:01,000 --> 00:00:05,000", LONG[:42]), ("00:00:02,000 --> 00:00:08,000", "Add the stock.")), "",
     "begin this one at 00:00:05,000", (("00:00:02,000", "00:00:05,000"),)),
    ("overlap", "cut.srt", srt(("00:00:01,000 --> 00:00:03,000", "Soften the leeks."), ("00:00:01,200 --> 00:00:03,000", "Add it.")), "",
     "show both in one cue from 00:00:01,000 to 00:00:03,000", (("leeks.\n\n2\n00:00:01,200 --> 00:00:03,000\n", "leeks.\n"),)),
    ("empty", "cut.srt", TWO.replace("Add the stock.", "<i></i>"), "", "delete it: `--fix` does", FIX),
    ("doubled", "cut.srt", f"{ONE}\n{ONE}", "", "delete one of them", ((f"\n{ONE}", ""),)),
    ("break", "cut.srt", ONE.replace("Soften the leeks", "Soften the\nleeks"), "", "break before it", (("Soften the\nleeks", "Soften\nthe leeks"),)),
    ("off-frame", "cut.srt", TWO.replace("03,000", "03,017"), "--fps 25", "snap it: `--fix` does", FIX),
    ("off-frame", "cut.srt", srt(("00:00:06,010 --> 00:00:04,000", "Add it.")), "--fps 25", "swap or correct its times first",
     (("00:00:06,010 --> 00:00:04,000", "00:00:04,000 --> 00:00:06,000"),)),
    ("markup", "cut.srt", ONE.replace("Soften the", "<i>Soften the"), "", "write </i> at the end of the cue", (("leeks.", "leeks.</i>"),)),
    ("markup", "cut.srt", ONE.replace("leeks.", "leeks.</b>"), "", "delete it", (("</b>", ""),)),
    ("characters", "cut.srt", ONE.replace("leeks", "le\u200beks"), "", "delete it: `--fix` does", FIX),
    ("characters", "cut.ass", ASS.replace("the leeks", "the\x0bleeks"), "", "delete it: `--fix` does", FIX),
    ("characters", "cut.srt", ONE.replace("leeks", "l\ufffdeks"), "", "type the letter that is meant in its place", (("\ufffd", "e"),)),
    ("garbled", "cut.srt", ONE.replace("leeks", "crÃ¨me"), "", "write “crème”", (("crÃ¨me", "crème"),)),
    ("garbled", "cut.srt", ONE.replace("leeks", "crÃ¨me"), "", "`--mend` with `--fix FILE` does", "--mend --fix"),
    ("arrow", "cut.srt", ONE.replace("the leeks", "--> glossy"), "", "write →: `--fix` does", FIX),
    ("arrow", "cut.vtt", VTT.replace("\n\n", "\n\nNOTE salt --> pepper\n\n", 1), "", "write →", (("salt -->", "salt →"),)),
    ("vtt-name", "cut.vtt", VTT.replace("\n\n", "\n\none\n", 1) + "\none\n00:00:04.000 --> 00:00:06.000\nStir.\n", "", "a name of its own", (("\none\n00:00:04", "\ntwo\n00:00:04"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 size:300%"), "", "write it as in size:80%", (("size:300%", "size:80%"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 line:top"), "", "write it as in line:85%", (("line:top", "line:85%"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 position:1.2.3"), "", "write it as in position:50%", (("position:1.2.3", "position:50%"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 align:justify"), "", "write it as in align:center", (("align:justify", "align:center"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 vertical:up"), "", "write it as in vertical:rl", (("vertical:up", "vertical:rl"),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 A:bottom"), "", "delete it", ((" A:bottom", ""),)),
    ("vtt-setting", "cut.vtt", VTT.replace("03.000", "03.000 line:1 line:2"), "", "keep one of them", ((" line:2", ""),)),
    ("vtt-tag", "cut.vtt", VTT.replace("the leeks", "<font>the leeks"), "", "delete it, or write <i>", (("<font>", ""),)),
    ("vtt-escape", "cut.vtt", VTT.replace("leeks", "salt & leeks"), "", "write &amp;: `--fix` does", FIX),
    ("vtt-escape", "cut.vtt", VTT.replace("leeks", "leeks, <5 g"), "", "write &lt;: `--fix` does", FIX),
    ("vtt-escape", "cut.vtt", VTT.replace("leeks", "leeks, <5 g"), "", "write &lt;", (("<5", "&lt;5"),)),
    ("vtt-signature", "cut.vtt", VTT.replace("WEBVTT\n\n", "WEBVTT\nof the leeks\n\n"), "", "leave a blank line", COPY),
    ("vtt-signature", "cut.vtt", VTT.replace("WEBVTT", "WEBVTT1"), "", "write WEBVTT", (("WEBVTT1", "WEBVTT"),)),
    ("late-block", "cut.vtt", f"{VTT}\nSTYLE\n::cue {{ color: white }}\n\n00:00:04.000 --> 00:00:06.000\nStir.\n", "", "move it before the first cue", COPY),
    ("before-cues", "cut.vtt", VTT.replace("\n\n", "\n\nof the leeks\n\n", 1), "", "NOTE, to keep it as a remark", (("of the leeks", "NOTE of the leeks"),)),
    ("stray-text", "cut.vtt", VTT.replace("\n\n", "\n\n", 1) + "\nof the leeks\n\n00:00:04.000 --> 00:00:06.000\nStir.\n", "", "NOTE, to keep it as a remark", (("of the leeks", "NOTE of the leeks"),)),
    ("stray-text", "cut.srt", f"Of the leeks\n\n{ONE}", "", "write its times over it, or delete it", (("Of the leeks\n\n", ""),)),
    ("by-times", "cut.srt", ONE.replace("03,000\nSoften", "03,000 Soften"), "", "write it under the times", COPY),
    ("after-blank", "cut.srt", ONE.replace("the leeks", "it\n\nslowly"), "", "if it belongs to the cue above, delete the blank line", COPY),
    ("after-blank", "cut.srt", ONE.replace("the leeks.", "it.\n\nAdd the stock."), "", "write a number and times over it", (("\n\nAdd", "\n\n2\n00:00:04,000 --> 00:00:06,000\nAdd"),)),
    ("odd-time", "cut.srt", ONE.replace("00:00:03,000", "0:03.0"), "", "write 00:00:01,000 --> 00:00:03,000", COPY),
    ("odd-time", "cut.srt", ONE.replace("00:00:03,000", "0:03.0"), "", "write 00:00:01,000 --> 00:00:03,000", (("0:03.0", "00:00:03,000"),)),
    ("odd-time", "cut.srt", ONE.replace("01,000", "01:000"), "", "write 00:00:01,000 --> 00:00:03,000", COPY),
    ("odd-time", "cut.srt", ONE.replace(":", ": ").replace(",", ", "), "", "write 00:00:01,000 --> 00:00:03,000", COPY),
    ("odd-time", "cut.srt", TWO.replace("00:00:0", "00:75:0"), "", "write 01:15:01,000 --> 01:15:03,000", COPY),
    ("broken-time", "cut.srt", TWO.replace("00:00:01,000 --> 00:00", "00:75:01,000 --> 00:75"), "", "write 01:15:01,000 --> 01:15:03,000, if", (("00:75:01", "00:00:01"), ("00:75:03", "00:00:03"))),
    ("broken-time", "cut.srt", ONE.replace(",000", ":12"), "", "write 00:00:01,480 --> 00:00:03,480 at 25 frames", (("00:00:01:12 --> 00:00:03:12", "00:00:01,480 --> 00:00:03,480"),)),
    ("odd-time", "cut.ttml", TTML.replace('"00:00:03.000"', '"03"'), "", "write 00:00:01.000 or 1.5s", (('"03"', '"3s"'),)),
    ("broken-time", "cut.srt", ONE.replace("00:00:03,000", "later"), "", "write its start and end, such as 00:00:01,000 --> 00:00:03,000", (("00:00:01,000 --> later", "00:00:01,000 --> 00:00:03,000"),)),
    ("broken-time", "cut.ass", f"{ASS}Dialogue: 0,soon,0:00:06.00,Default,,0,0,0,,Stir.\n", "", "write Dialogue: 0,0:00:01.00,0:00:03.00", (("0,soon,", "0,0:00:04.00,"),)),
    ("broken-time", "cut.ttml", TTML.replace("</p>", '</p>\n<p begin="soon" end="00:00:06.000">Stir.</p>'), "", "write 00:00:01.000, 1.5s or 36f", (('"soon"', '"00:00:04.000"'),)),
    ("negative-time", "cut.srt", TWO.replace("00:00:01,000", "-00:00:01,500"), "", "make all cues later", COPY),
    ("negative-time", "my cut.srt", TWO.replace("00:00:01,000 --> 00:00:03,000", "-00:00:03,000 --> -00:00:00,500"), "", "make all cues later", COPY),
    ("xml", "cut.ttml", TTML.replace("</p>", ""), "", "correct the tag there", (("leeks.", "leeks.</p>"),)),
    ("rate", "cut.ttml", TTML.replace("<tt ", '<tt xmlns:ttp="http://www.w3.org/ns/ttml#parameter" ttp:frameRate="fast" '), "", 'write ttp:frameRate="24"', (('"fast"', '"24"'),)),
    ("xml", "cut.ttml", "\n" + TTML, "", "remove it", COPY),
    ("too-short", "cut.srt", ONE.replace("03,000", "01,500").replace("Soften the leeks", "Stir"), "", "end it at 00:00:01,833: `--fix` does", FIX),
    ("too-short", "cut.srt", srt(("00:00:01,000 --> 00:00:01,500", "Stir."), ("00:00:01,500 --> 00:00:04,000", "Add it.")), "",
     "join it with its neighbour", (("00:00:01,500\nStir.\n\n2\n00:00:01,500 --> ", ""), ("Add it.", "Stir. Add it."))),
    ("too-long", "cut.srt", ONE.replace("03,000", "09,000"), "", "end it at 00:00:08,000", (("09,000", "08,000"),)),
    ("too-fast", "cut.srt", ONE.replace("Soften the leeks.", LONG[:42]), "", "end it at 00:00:03,100: `--fix` does", FIX),
    ("too-fast", "cut.srt", srt(("00:00:01,000 --> 00:00:03,000", LONG[:42]), ("00:00:03,000 --> 00:00:08,000", "Add it.")), "",
     "give it 0.1 s more by letting the next begin later", (("00:00:03,000", "00:00:03,100"),)),
    ("too-fast", "cut.srt", srt(("00:00:01,000 --> 00:00:08,000", f"{HALVES}\n{HALVES}\n{HALVES}")), "", "split it: no cue stands longer than 7 s",
     ((f"08,000\n{HALVES}\n{HALVES}", f"05,000\n{HALVES}\n\n2\n00:00:05,000 --> 00:00:09,000\n{HALVES}\n\n3\n00:00:09,000 --> 00:00:13,000"),)),
    ("too-wide", "cut.srt", ONE.replace("00:00:03,000", "00:00:06,000").replace("Soften the leeks.", LONG), "", "break the line, or use fewer words", ((" in half", "\nin half"),)),
    ("lines", "cut.srt", ONE.replace("Soften the leeks", "Soften\nthe\nleeks"), "", "split the cue", (("Soften\nthe\nleeks", "Soften\nthe leeks"),)),
    ("gap", "cut.srt", TWO.replace("03,000", "03,980"), "", "close it or widen it: `--fix` closes it", FIX),
    ("sliver", "cut.srt", TWO.replace("03,000", "03,700"), "", "let the cue above it stand longer: `--fix` does", FIX),
    ("encoding", "cut.srt", ("\ufeff" + TWO).encode("utf-16-le"), "", "write it as UTF-8", COPY),
    ("encoding", "cut.srt", ONE.replace("leeks.", "crème brûlé").encode()[:-2], "", "type them again where � stands", (("brûl\ufffd", "brûlé"),)),
    ("encoding-unsure", "cut.srt", TWO.replace("leeks", "crème fraîche").encode("mac_roman"), "", "“Soften the crème fraîche.” is `--encoding mac-roman`", COPY),
    ("encoding-unsure", "my cut.srt", TWO.replace("leeks", "crème fraîche").encode("cp850"), "", "“Soften the crème fraîche.” is `--encoding cp850`", COPY),
    ("stray-byte", "cut.srt", TWO.replace("leeks", "brûlée").encode().replace(b"stock", b"cr\xe8me"), "", "writes it as UTF-8", COPY),
]  # fmt: skip
NOT_FOLLOWED = {
    "no-cues",  # another file is named
    "rolling",  # by test_fixing_repeats.py
    "no-time",  # a note without a fix
    "words-lost",  # of `--fix`, by test_fixes_of_conform.py
    "ttml-times",  # of writing, there too
}
_COMMAND = re.compile(r"`(scriptkit [^`]+)`")


def codes(run: Run, file: str, options: str) -> tuple[list[str], str]:
    done = run("proof", file, *shlex.split(options))
    return [m["code"] for m in MESSAGE.finditer(done.stderr)], done.stderr


@pytest.mark.parametrize(("code", "file", "text", "options", "hint", "how"), ROWS, ids=[f"{r[0]}-{n}" for n, r in enumerate(ROWS)])  # fmt: skip
def test_a_fix_that_is_followed_takes_the_problem_away(
    code: str, file: str, text: str | bytes, options: str, hint: str, how: str | Edits, tmp_path: Path, run: Run
) -> None:
    path = tmp_path / file
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    before, printed = codes(run, file, options)
    assert code in before, printed
    fixes = [line.strip() for line in printed.splitlines() if line.strip().startswith("fix:")]
    (said,) = [fix for fix in fixes if hint in fix][:1] or [""]
    assert said, printed
    if how == COPY:
        last = ""
        for command in _COMMAND.findall(said):
            words = shlex.split(command)
            assert run(*words[1:]).returncode < 2, command
            last = words[-1]
        assert last
        file = last
    elif isinstance(how, str):
        assert run("proof", file, *shlex.split(options), *how.split(), f"mended{path.suffix}").returncode < 2
        file = f"mended{path.suffix}"
    else:
        read = path.read_text(encoding="utf-8", errors="replace")
        for old, new in how:
            if old == "name":
                path.rename(tmp_path / new)
                file = new
                continue
            assert old in read
            read = read.replace(old, new, 1) if code != "too-fast" else read.replace(old, new)
        (tmp_path / file).write_text(read, encoding="utf-8")
    left, printed = codes(run, file, options)
    assert code not in left, printed
    assert not set(left) - set(before), printed


def test_every_code_that_proof_can_tell_has_a_row() -> None:
    package = Path(proof.__code__.co_filename).parents[2]
    read = [*(package / "timed_text").glob("*.py"), *(package / "captions" / "proofing").glob("*.py")]
    read += [package / "captions" / "limits.py", package / "captions" / "gaps.py"]
    told = {
        m
        for path in read
        for m in re.findall(r'\b(?:warning|error)\(\s*[^"]{0,80}?"([a-z][a-z-]+)"', path.read_text("utf-8"))
    }
    assert len(told) > 15
    assert not told - {row[0] for row in ROWS} - NOT_FOLLOWED - {"misheard"}  # misheard: test_heard_in_place.py


WORDS = [
    "add",
    "the",
    "of",
    "butter",
    "200",
    "g",
    "stir",
    "on",
    "and",
    "salt",
    "&",
    "pepper",
    "until",
    "soft",
    "a",
    "pan",
    "180",
    "°C",
    "in",
    "carefully,",
    "mustard.",
    "-",
    "–",
]
MARKS = (
    "<i>",
    "</i>",
    "\u200b",
    "\x0b",
    "<5 ",
    "-->",
    "{\\an8}",
    "&amp;",
    "\n\n",
    "\n- ",
    "<v Cook>",
    "crÃ¨me",
    "\ufffd",
)


def _made(draw: random.Random, kind: str) -> str:
    """A file of up to six cues, of which hardly any is right."""
    at, out = 0, "WEBVTT\n\n" if kind == "vtt" else ""
    point = "." if kind == "vtt" else ","
    for n in range(draw.randint(1, 6)):
        start = at + draw.choice([0, 10, 33, 40, 100, 490, 500, 1_000, -500, -2_000])
        end = start + draw.choice([0, 500, 833, 1_000, 3_000, 6_990, 7_000, 8_000, -1_000])
        words = [draw.choice(MARKS if draw.random() < 0.07 else WORDS) for _ in range(draw.choice([0, 1, 5, 12, 25]))]
        text = "".join(word + draw.choice(" " * 8 + "\n") for word in words).strip(" ")
        times = " --> ".join(
            f"{'-' * (ms < 0)}00:00:{abs(ms) // 1000:02d}{point}{abs(ms) % 1000:03d}" for ms in (start, end)
        )
        out += (f"{n + 1}\n" if kind == "srt" else "") + f"{times}\n{text}\n\n"
        at = end
    return out


@pytest.mark.parametrize("kind", ["srt", "vtt"])
def test_what_is_said_to_be_mended_is_mended_at_once(kind: str) -> None:
    """Of any file: once it is written, no hint names `--fix` again."""
    draw, tried = random.Random(17), 0
    for _ in range(150):
        text = _made(draw, kind)
        file = parse_captions(text, f"f.{kind}")
        sheet = Sheet(file, profiles()[draw.choice(["streaming", "public-broadcaster", "education"])], draw.choice([None, RATES["25"], RATES["29.97"]]))  # fmt: skip
        done = repaired(sheet)
        if would_be_lost(file) or not done.file.cues:
            continue
        tried += 1
        left = proof(Sheet(parse_captions(write_captions(done.file), f"f.{kind}"), sheet.profile, sheet.rate))
        again = [p for p in left if "`--fix`" in p.hint and "swap or correct" not in p.hint and p.code != "garbled"]
        assert not again, (text, again)
    assert tried > 100


def test_an_offset_that_is_copied_from_the_hint_keeps_every_cue(tmp_path: Path, run: Run) -> None:
    (tmp_path / "cut.srt").write_text(TWO, encoding="utf-8")
    for offset in ("-4", "-30"):
        (hint,) = set(
            re.findall(r"such as (--offset -\d+)", run("conform", "cut.srt", "--offset", offset, "-o", "a.srt").stderr)
        )
        done = run("conform", "cut.srt", *hint.split(), "-o", "b.srt")
        assert (done.returncode, done.stderr) == (0, "wrote b.srt: 2 cues, 0 fell away; no problems\n")
