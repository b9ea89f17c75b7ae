"""The coverage report as the terminal prints it."""

from __future__ import annotations

import shlex
from collections.abc import Iterator

from scriptkit.papers.coverage import CoverageReport
from scriptkit.papers.coverage_matrix import AdditionRow
from scriptkit.papers.gap_cards import NOT_SO, USUAL, GapCard
from scriptkit.papers.tables import Column, aligned, text_of
from scriptkit.problems import printable

_LABEL = 22


def coverage_text(title: str, report: CoverageReport) -> str:
    """For the terminal: a block for each gap, what is fine, and the matrix."""
    parts = [f"{title}: {report.counts}"]
    if report.other_video:
        parts += ["", report.other_video]
    for group in report.groups:
        parts += ["", f"{group.title} ({group.note})"]
        parts += [line for card in group.cards for line in _card(card)]
    if any(card.choices for group in report.groups for card in group.cards):
        parts += [
            "",
            "  --accept writes what you choose into the recipe file: --accept all, or those of some with commas between them",
        ]
    if any(choice.answer == NOT_SO for group in report.groups for card in group.cards for choice in card.choices):
        parts += [
            "  What is not so is answered on the page that -o DIR writes; --answers FILE reads what the page saved"
        ]
    if report.cooked:
        parts += ["", "As cooked, a serving"]
        for dish in report.cooked:
            parts += [f"  {dish.name}, {dish.why}", f"    cooked   {dish.cooked}", f"    written  {dish.written}"]
    if report.fine:
        parts += ["", f"Fine: {', '.join(report.fine)}"]
    if report.figures:
        parts += [f"Spoken: {report.verdicts}"]
    parts += ["", *_matrix_text(report)]
    if report.with_cut and not report.other_video:
        steps = [[f"  {p.time or '—'}", p.confidence, p.where] for p in report.placed]
        parts += ["", f"Steps in the order of the cut, confidence {report.confidence}", *aligned(steps)]
        parts += [f"  That is: {report.order}"] if report.order else []
    return "\n".join(printable(line) for part in parts for line in part.split("\n"))


def _matrix_text(report: CoverageReport) -> list[str]:
    columns: list[Column[AdditionRow]] = [
        Column(name="addition", value=lambda r: f"{r.name}, {r.amount}"),
        Column(name="where", value=lambda r: r.where),
        Column(name="shots", value=lambda r: " ".join(r.slates) or "none"),
    ]
    columns += [Column(name="takes", value=lambda r: r.takes)] if report.with_log else []
    columns += [Column(name="cut", value=lambda r: r.shown)] if report.with_cut else []
    columns += [Column(name="status", value=lambda r: r.status)]
    return text_of([row for step in report.steps for row in step.rows], columns)


def _card(card: GapCard) -> Iterator[str]:
    at = f"{card.at}  " if card.at else ""
    where = f", {card.where}" if card.where else ""
    yield f"  {at}{card.title}{where}" + (f": {card.why}" if card.why else "")
    if card.before:
        yield f"    {'open before':{_LABEL}}{card.before}"
    if card.words:
        yield f"    {'said':{_LABEL}}{card.words}"
    for way in card.ways:
        yield f"    {way.label.lower():{_LABEL}}{way.text}" + (f"  ({way.more})" if way.more else "")
    if card.choices:
        answers = [choice.answer for choice in card.choices if choice.answer not in {*USUAL, NOT_SO}]
        others = ", ".join(
            [shlex.quote(f"{card.name}={answers[0]}"), *(f"={a}" for a in answers[1:])] if answers else []
        )
        yield f"    {'--accept':{_LABEL}}{shlex.quote(card.name)}" + (f"  (or {others})" if others else "")
    if card.file:
        yield f"    {card.file}"
