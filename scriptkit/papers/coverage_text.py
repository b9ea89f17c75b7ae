"""The coverage report as the terminal prints it."""

from __future__ import annotations

from scriptkit.papers.coverage import AdditionRow, CoverageReport, RescueEntry
from scriptkit.papers.tables import Column, aligned, text_of
from scriptkit.problems import printable


def coverage_text(title: str, report: CoverageReport) -> str:
    """For the terminal: the matrix, what is open, what is claimed wrongly, and the rescue list."""
    parts = [f"{title}: {report.counts}", "", *_matrix_text(report)]
    if report.other_video:
        parts += ["", report.other_video]
    elif report.with_cut:
        steps = [[f"  {p.time or '—'}", p.confidence, p.where] for p in report.placed]
        parts += ["", f"Steps in the order of the cut, confidence {report.confidence}", *aligned(steps)]
        parts += [f"  That is: {report.order}"] if report.order else []
    if report.gates:
        parts += ["", "Not yet covered before a one-chance step"]
        parts += [f"  before {gate.where}: {gate.open}" for gate in report.gates]
    if report.figures:
        parts += ["", f"Spoken: {report.verdicts}"]
        parts += [f"  {c.time}  “{c.words}” of {c.of}: {c.recipe}; {c.off}" for c in report.wrong]
    if report.listen:
        parts += ["", "To listen to"]
        parts += [
            f"  {c.time}  “{c.words}”, it may be of {c.of}" + (f": {c.recipe}; {c.off}" if c.recipe else "")
            for c in report.listen
        ]
    if report.corrections:
        parts += [
            "",
            "Corrections to accept (--accept all, or the times of some): they go into `corrections:` of the file",
        ]
        parts += [f"  {c.time}  {c.text}" for c in report.corrections]
    if report.cooked:
        parts += ["", "As cooked, a serving"]
        for dish in report.cooked:
            parts += [f"  {dish.name}, {dish.why}", f"    cooked   {dish.cooked}", f"    written  {dish.written}"]
    if report.rescues:
        parts += ["", "Rescue list"]
        parts += [line for rescue in report.rescues for line in _rescue_text(rescue)]
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


def _rescue_text(rescue: RescueEntry) -> list[str]:
    return [
        f"  {rescue.name}, {rescue.where}: {rescue.why}",
        f"    record       {rescue.insert}",
        f"    say          {rescue.line}",
        f"    overlay      {rescue.overlay}" + (f"  {rescue.span}" if rescue.span else ""),
        f"    description  {rescue.description}",
        f"    accept       {_accept_words(rescue)}",
    ]


def _accept_words(rescue: RescueEntry) -> str:
    where = "in the file" if rescue.accept.startswith("corrections:") else "at the step"
    return f"write `{rescue.accept}` {where}, and the overlay will mention it"
