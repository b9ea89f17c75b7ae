"""``scriptkit proof``: proof any caption file, and repair what is safe."""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import CaptionsIn, Encoding, Force, Json, Profile, Rate
from scriptkit.cli.printing import count_words, cue_count, exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, Severity, error, in_order

if TYPE_CHECKING:
    from scriptkit.captions.proofing.due_terms import DueTerms
    from scriptkit.captions.proofing.repair import Repaired
    from scriptkit.captions.proofing.sheet import Sheet
    from scriptkit.timed_text.reading import CaptionFile

    Vocabulary = tuple[frozenset[str], DueTerms]


USUAL_PROFILE = "streaming"


@command(
    "proof",
    HelpPage(
        short="proof any caption file, and repair what is safe",
        reads="a SubRip, WebVTT, TTML or ASS file, whoever wrote it.",
        writes="problems to standard error; with --fix the mended captions to the file that it names.",
        examples=(
            "scriptkit proof examples/harbour-supper-cut.srt --profile streaming --fix mended.srt",
            f"scriptkit proof examples/harbour-supper-cut.srt --recipe {SUPPER}",
        ),
    ),
)
def proof(  # noqa: PLR0917  an option each
    file: CaptionsIn,
    profile: Profile = USUAL_PROFILE,
    fps: Rate = "",
    fix: Annotated[
        str,
        typer.Option(
            metavar="FILE",
            help="Write the captions with every safe repair to this file, and list what is left. Name the same file to change it itself.",
        ),
    ] = "",
    encoding: Encoding = "",
    recipe: Annotated[
        str,
        typer.Option(metavar="SOURCE", help="Also kitchen words likely misheard, by the words of this dish or meal."),
    ] = "",
    force: Force = False,
    mend: Annotated[
        bool,
        typer.Option(
            "--mend",
            help="With --fix: also write what was meant in place of garbled letters (crÃ¨me) and, with --recipe, of misheard words.",
        ),
    ] = False,
    json: Json = False,
) -> None:
    """Proof any caption file against a published profile, and repair what is safe. With --fps also whether its times lie on
    frames."""
    raise typer.Exit(
        run(
            file,
            profile=profile,
            rate=fps,
            fix=fix,
            recipe=recipe,
            mend=mend,
            as_json=json,
            encoding=encoding,
            force=force,
        )
    )


def run(
    file: str,
    *,
    profile: str,
    rate: str,
    fix: str,
    recipe: str,
    as_json: bool,
    encoding: str = "",
    mend: bool = False,
    force: bool = False,
) -> int:
    """``fix``: a file to write the repaired captions to; empty: none. The file itself is changed only where it is named.
    ``recipe``: the dish or meal whose words the captions should have; empty: none. Raises CannotDo where a file cannot be
    read or written, and where words would be lost by the repair."""
    from scriptkit.captions.profiles import profile_of
    from scriptkit.captions.proofing.losses import taken_as, would_be_lost
    from scriptkit.captions.proofing.repair import repaired, write_captions
    from scriptkit.captions.proofing.sheet import Sheet
    from scriptkit.measure.timecode import rate_named

    of = profile_of(profile)
    at = rate_named(rate)
    if mend and not fix:
        hint = "name the file to write: --mend --fix FILE"
        raise CannotDo([error(Place("--mend"), "option", "words are mended into a file", hint)])
    own = _vocabulary_of(recipe)
    sheet = Sheet(read_captions(file, encoding), of, at)
    problems = _proof(sheet, own)
    words: list[Problem] = []
    if fix:
        done = repaired(sheet)
        lost = [*named_as_another_kind(fix, sheet.file, "--fix"), *would_be_lost(sheet.file, fix), *done.wrong]
        if mend and not lost:
            done, words = _mended(replace(sheet, file=done.file), own, done)
            lost = [*done.wrong]
        if not lost and not done.file.cues:
            message = "nothing was written: no cue of this file has any text"
            lost = [error(Place(file), "nothing-left", message, "name the file that has the words")]
        if lost:
            raise CannotDo([*lost, *(p for p in problems if p.severity is Severity.ERROR)])
        words = [*taken_as(sheet.file), *words]
        _write(fix, file, write_captions(done.file), recipe, force=force)
        left = _proof(Sheet(reread(done.file, fix), of, at), own)
        print(
            f"wrote {fix}: {len(done.file.cues)} of {cue_count(len(sheet.cues))}; {count_words(problems)} before, {count_words(left)} left",
            file=sys.stderr,
        )
        gone = Counter(p.code for p in problems) - Counter(p.code for p in left)
        gone["misheard"] = sum(p.code == "misheard-mended" for p in words)  # of lines taken out nothing was mended
        if gone := +gone:
            told = ", ".join(f"{code} {count}" for code, count in sorted(gone.items()))
            print(f"repaired: {told}", file=sys.stderr)
        if done.taken_out:
            lines = ", ".join(map(str, done.taken_out[:5])) + (", …" if done.taken_out[5:] else "")
            print(f"repeated lines taken out at {len(done.taken_out)} cues: line {lines}", file=sys.stderr)
        problems = [*words, *left]
    if as_json:
        print_json(
            {
                "file": fix or file,
                "cues": len(sheet.cues),
                "profile": of.name,
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems)
        print(f"{file}: {cue_count(len(sheet.cues))}, {count_words(problems)} (limits of {of.name})", file=sys.stderr)
        if not fix and any("`--fix` " in p.hint for p in problems):
            _print_next(file, profile, rate, encoding, recipe)
    return exit_code(problems)


def _print_next(file: str, profile: str, rate: str, encoding: str, recipe: str) -> None:
    """The command that mends what can be mended, with the options that this one had."""
    from scriptkit.cli.where_next import print_next
    from scriptkit.timed_text.mending import fix_command

    given = {
        "--profile": profile if profile != USUAL_PROFILE else "",
        "--fps": rate,
        "--encoding": encoding,
        "--recipe": recipe,
    }
    print_next(fix_command(file, *(part for option, value in given.items() if value for part in (option, value))))


def _proof(sheet: Sheet, vocabulary: Vocabulary | None) -> list[Problem]:
    """What is wrong with the file, mishearings among it where there are words to hold it against."""
    from scriptkit.captions.proofing.proof import proof

    problems = proof(sheet)
    if vocabulary is None:
        return problems
    from scriptkit.captions.proofing.misheard import misheard

    return in_order([*problems, *misheard(sheet.file, *vocabulary)])


def _mended(sheet: Sheet, vocabulary: Vocabulary | None, was: Repaired) -> tuple[Repaired, list[Problem]]:
    """The repaired file with what was meant in place of garbled and misheard words, repaired again, and a note for each. After the first
    repair, for then a line that rolls stands once, and is mended once."""
    from scriptkit.captions.proofing.garbled_cues import ungarbled
    from scriptkit.captions.proofing.repair import repaired

    sheet, words = ungarbled(sheet)
    if vocabulary is not None:
        from scriptkit.captions.proofing.misheard import mended, misheard_places

        captions, misheard_words = mended(sheet.file, misheard_places(sheet.file, *vocabulary))
        sheet, words = replace(sheet, file=captions), [*words, *misheard_words]
    done = repaired(sheet)
    return replace(done, taken_out=tuple(sorted({*was.taken_out, *done.taken_out}))), words


def named_as_another_kind(target: str, captions: CaptionFile, option: str) -> list[Problem]:
    """What is wrong where the name of the file to write, asked for by this option, ends as another kind of caption file does."""
    from scriptkit.captions.caption_files import KINDS, kind_of_name

    kind = kind_of_name(target)
    if not kind or kind == captions.kind:
        return []
    path = Path(target)
    message = f"{captions.file} is {KINDS[captions.kind]} and stays so, but “{path.name}” is named as {KINDS[kind]}"
    return [error(Place(option), "kind", message, f"write {option} {path.with_suffix('.' + captions.kind)}")]


def _write(fix: str, file: str, text: str, recipe: str, *, force: bool) -> None:
    """Into the file itself, whose owner, mode and links stay, or into another."""
    from scriptkit.editing import write_in_place
    from scriptkit.written_files import write_own

    target = Path(fix)
    if target.exists() and Path(file).exists() and target.samefile(file):
        write_in_place(fix, text.encode("utf-8", errors="replace"))
    else:
        write_own(target.parent, {target.name: text}, [recipe], force=force)


def _vocabulary_of(recipe: str) -> Vocabulary | None:
    if not recipe:
        return None
    from scriptkit.captions.proofing.misheard import due_in, words_of_dishes
    from scriptkit.production import read

    dishes = read(recipe).dishes
    return words_of_dishes(dishes), due_in(dishes)


def reread(captions: CaptionFile, file: str) -> CaptionFile:
    """The captions as they are read from the file that they are written to, with their lines there."""
    from scriptkit.captions.proofing.repair import write_captions
    from scriptkit.timed_text.reading import parse_captions

    return parse_captions(write_captions(captions), file)


def read_captions(file: str, encoding: str = "") -> CaptionFile:
    """The caption file; ``encoding`` where the person names it. Raises CannotDo where it cannot be opened, is too large, or has no cues."""
    from scriptkit.input_bytes import bytes_of
    from scriptkit.timed_text.encodings import decode
    from scriptkit.timed_text.reading import parse_captions

    raw = bytes_of(file)
    text, told = decode(raw, file, encoding)
    del raw  # it is as large as all the cues
    captions = parse_captions(text, file, told)
    if not captions.cues:
        broken = any(p.code == "broken-time" for p in captions.repairs)
        hint = "correct the times below" if broken else "name a SubRip, WebVTT, TTML or ASS file"
        raise CannotDo([error(Place(file), "no-cues", "the file has no cues", hint), *captions.repairs])
    return captions
