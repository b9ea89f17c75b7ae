"""A recipe answers a caution: it is not shown, and the papers say so and why."""

from __future__ import annotations

import subprocess
from collections.abc import Callable

import pytest
from conftest import Table
from messages import kinds

from scriptkit.pack import make_pack
from scriptkit.problems import Severity
from scriptkit.production import Production
from scriptkit.safety.rule_matching import answers_of, cautions_of

Run = Callable[..., "subprocess.CompletedProcess[str]"]

DISH = """\
dish: Chops
servings: 2
{dish}
ingredients: {{chops: {{amount: 440 g, food: "pork loin chop"}}, oil: {{amount: 20 g, food: olive oil}}}}
steps:
  - {{id: sear, stage: cook, do: Sear the chops., add: [oil, chops], core: 63 °C, screen: 40 s, say: In they go.{step}}}
  - {{id: plate, stage: cook, do: Plate them., screen: 10 s, say: Done.}}
"""


def text(dish: str = "", step: str = "") -> str:
    return DISH.format(dish=dish, step=step and f", {step}")


@pytest.mark.parametrize(
    "where",
    [{"dish": "answered: {searing: said in the narration}"}, {"step": "answered: {searing: said in the narration}"}],
)
def test_an_answered_caution_is_not_shown_and_the_papers_print_the_answer(table: Table, where: dict[str, str]) -> None:
    dish = table.dish(text(**where))
    (caution,) = [c for c in cautions_of(dish) if c.rule.id == "searing"]
    assert (caution.overlay, caution.spoken) == ((), "")
    assert caution.printed == "Searing: left out here; the cook answers: “said in the narration”."
    (problem,) = answers_of(dish, cautions_of(dish))
    assert (problem.code, problem.severity) == ("answered", Severity.NOTE)
    assert "“searing” is not shown, as you answer: “said in the narration”" in problem.message


def test_a_published_figure_stays_beside_the_answer(table: Table) -> None:
    dish = table.dish(text("answered: {cook-whole-cut: it is on the sign behind me}"))
    (caution,) = [c for c in cautions_of(dish) if c.rule.id == "cook-whole-cut"]
    assert (caution.overlay, caution.spoken) == ((), "")
    assert caution.printed.startswith("Chops: at least 63 °C (145 °F)")
    assert caution.printed.endswith("Not shown in the film; the cook answers: “it is on the sign behind me”.")


def test_every_page_and_the_report_that_would_have_carried_it_print_the_answer(table: Table) -> None:
    said = "the cook answers: “said in the &lt;b&gt;narration”"
    files = make_pack(Production(table.read(text("answered: {searing: said in the <b>narration}")))).files
    plain = make_pack(Production(table.read(text()))).files
    for name in plain:
        if name.endswith(".html") and name != "publish.html" and "Searing: dry the food" in plain[name]:
            assert "Searing: dry the food" not in files[name]
            assert said in files[name], name
    assert "Searing: dry the food" in plain["index.html"]
    assert "Searing: left out here" in files["report.txt"]
    assert "note answered" in kinds(files["report.txt"])
    assert "Dry it; extractor on" in plain["files/overlays.srt"]
    assert "Dry it; extractor on" not in files["files/overlays.srt"]


@pytest.mark.parametrize(
    ("dish", "step", "line", "code", "severity", "hint"),
    [
        ("answered: {serring: said}", "", 3, "no-such-rule", Severity.ERROR, "searing"),
        ("answered: {xyzzy: said}", "", 3, "no-such-rule", Severity.ERROR, "hot-blending-jug"),
        ("", "answered: {serring: said}", 6, "no-such-rule", Severity.ERROR, "searing"),
        ("answered: {local-code: I know it}", "", 3, "not-answerable", Severity.ERROR, "take the answer out"),
        ("answered: {caramel: said}", "", 3, "answers-nothing", Severity.WARNING, "take the answer out"),
    ],
)
def test_an_answer_to_nothing_is_a_problem(
    table: Table, dish: str, step: str, line: int, code: str, severity: Severity, hint: str
) -> None:
    found = table.dish(text(dish, step))
    (problem,) = answers_of(found, cautions_of(found))
    assert (problem.code, problem.severity, problem.place.line) == (code, severity, line)
    assert hint in problem.hint


def test_an_answer_of_another_step_answers_nothing_there(table: Table) -> None:
    dish = table.dish(text().replace("do: Plate them.", "do: Plate them., answered: {searing: said}"))
    assert [p.code for p in answers_of(dish, cautions_of(dish))] == ["answers-nothing"]
    (caution,) = [c for c in cautions_of(dish) if c.rule.id == "searing"]
    assert caution.overlay


def test_the_line_that_defers_cannot_be_taken_away(table: Table) -> None:
    dish = table.dish(text("answered: {local-code: I know it}"))
    assert cautions_of(dish)[-1].printed.startswith("Follow your local food code")


@pytest.mark.parametrize("reason", ["", "''", "'   '", "~", "[]"])
def test_a_reason_is_required(table: Table, reason: str, run: Run) -> None:
    done = run("check", table.write("d.yaml", text(f"answered: {{searing: {reason}}}")))
    assert done.returncode in (1, 2)
    assert "d.yaml:3:" in done.stderr
    assert "Traceback" not in done.stderr
    assert "answered]" not in done.stderr


@pytest.mark.parametrize(
    "written",
    ["answered: searing", "answered: [searing]", "answered: {1: {a: b}}", "answered: {searing: " + "x" * 401 + "}"],
)
def test_another_shape_is_a_problem_at_its_line(table: Table, written: str, run: Run) -> None:
    done = run("check", table.write("d.yaml", text(written)))
    assert done.returncode in (1, 2)
    assert "d.yaml:3:" in done.stderr
    assert "Traceback" not in done.stderr
