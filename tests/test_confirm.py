"""``confirm``: what only a person can tell is asked in the order in which it matters, and an answer changes only what it is about."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cli import confirm as command
from scriptkit.cli import confirm_terminal
from scriptkit.confirming import Asked, edits_of
from scriptkit.problems import CannotDo
from scriptkit.recipe.file_edit import edited

Run = Callable[..., CompletedProcess[str]]

DISH = """\
# Harbour pie, from a page
dish: Harbour pie          # a working title
servings: 4
unsure: {servings: 0.4, read_from: "Makes 1 pie"}
ingredients:
  beef:   {amount: 400 g, food: "beef mince, 20% fat", unsure: {food: 0.75, read_from: "400 g mince", candidates: ["beef mince, 5% fat", "lamb mince"]}}   # from the market
  butter: {amount: 30 g, food: "butter, unsalted"}
  dough:  {amount: 250 g, unsure: {food: 0, amount: 0.3, read_from: "1 pack dough", candidates: ["pastry, shortcrust", "pastry, filo"]}}
  salt:   to taste

foods:
  dough: {basis: us}
steps:
  - {stage: cook, do: Bake it all., add: {beef: all, butter: all, dough: all, salt: to taste}, screen: 30 s}
"""


def spaces(text: str) -> str:
    """With one space where there are several: a comment keeps its column."""
    return re.sub(" +", " ", text)


def asked(text: str = DISH) -> Asked:
    return Asked(text, "pie.yaml")


def answered(answers: dict[str, object], text: str = DISH) -> str:
    return edited(text, edits_of(text, "pie.yaml", answers), "pie.yaml")


def test_the_question_that_moves_most_comes_first() -> None:
    questions = asked().questions()
    assert {q.id for q in questions} == {"servings", "food:beef", "food:dough", "amount:dough"}
    rest = [q.moves for q in questions if q.id != "servings"]
    assert rest == sorted(rest, reverse=True)
    by_id = {q.id: q for q in questions}
    assert by_id["food:dough"].moves > by_id["food:beef"].moves, "of a dough it hangs whether there is wheat"


def test_servings_come_first_with_all_of_a_serving() -> None:
    """Every figure of a serving hangs on them: until they are told, none is known."""
    (first, *_), sure = asked().questions(), asked(DISH.replace("unsure: {servings", "# {servings", 1)).questions()
    assert first.id == "servings"
    (right,) = first.choices
    assert right.energy_kcal is not None and right.net_carbs_g is not None
    assert first.moves == pytest.approx(right.energy_kcal + 10 * right.net_carbs_g)
    assert first.moves > 0
    assert "servings" not in {q.id for q in sure}


def test_three_candidates_each_with_what_it_would_change() -> None:
    beef = next(q for q in asked().questions() if q.id == "food:beef")
    assert [c.words for c in beef.choices] == ["beef mince, 20% fat", "beef mince, 5% fat", "lamb mince"]
    assert beef.read_from == "400 g mince"
    fat, lean, _ = (c.energy_kcal for c in beef.choices)
    assert fat is not None
    assert lean is not None
    assert fat > lean
    dough = next(q for q in asked().questions() if q.id == "food:dough")
    assert [c.words for c in dough.choices] == ["pastry, shortcrust", "pastry, filo"]


IN_DOUBT = """\
dish: Quay stew
servings: 4
ingredients:
  lard: {amount: 60 g, unsure: {food: 0.4, amount: 0.5, read_from: "a knob of fat", candidates: [ghee]}}
  whatsit: {amount: 40 g, unsure: {food: 0, amount: 0.4, read_from: "some whatsit", candidates: [capers, honey]}}
foods: {whatsit: {basis: us}}
steps:
  - {stage: cook, do: Fry it., add: {lard: all, whatsit: all}, screen: 30 s}
"""


@pytest.mark.parametrize("beside", ["", "  milk: 3 handfuls\n"])
def test_an_amount_is_weighed_with_the_food_as_it_stands_whatever_else_is_wrong(beside: str) -> None:
    """60 g of lard (SR28: 902 kcal per 100 g) are 135 kcal of each of four servings; nobody knows what 40 g of whatsit are."""
    questions = {q.id: q for q in asked(IN_DOUBT.replace("foods:", f"{beside}foods:")).questions()}
    assert [round(c.energy_kcal or 0) for c in questions["amount:lard"].choices] == [135]
    assert [round(c.energy_kcal or 0) for c in questions["food:lard"].choices] == [135, 131]
    assert [c.energy_kcal for c in questions["amount:whatsit"].choices] == [None]
    honey = questions["food:whatsit"].choices[1]
    assert honey.words == "honey" and round(honey.energy_kcal or 0) == 30


def test_the_right_guess_only_loses_its_mark() -> None:
    changed = answered({"food:beef": 1})
    assert spaces(changed) == spaces(DISH).replace(
        ', unsure: {food: 0.75, read_from: "400 g mince", candidates: ["beef mince, 5% fat", "lamb mince"]}', ""
    )


def test_another_food_keeps_comments_order_and_alignment() -> None:
    changed = answered({"food:beef": 2})
    assert ' beef: {amount: 400 g, food: "beef mince, 5% fat"} # from the market' in spaces(changed)
    assert "dish: Harbour pie          # a working title" in changed


def test_a_food_in_place_of_a_label_takes_the_empty_label_away() -> None:
    changed = answered({"food:dough": 1})
    assert "foods:" not in changed
    assert 'food: "pastry, shortcrust"' in changed
    assert "amount: 0.3" in changed, "how much of it is another question"


def test_amounts_servings_names_and_labels() -> None:
    changed = answered({
        "servings": 6, "amount:dough": "320 g", "food:beef": "venison mince",
        "food:dough": {"energy_kcal": 350, "fat_g": 15, "protein_g": 6, "carbohydrate_g": 48, "fibre_g": 2},
    })  # fmt: skip
    assert "unsure" not in changed
    dish = asked(changed).dish
    assert dish.servings == 6
    by_key = {i.key: i for i in dish.ingredients}
    assert by_key["beef"].food.name == "venison mince"
    assert by_key["dough"].grams == 320
    assert by_key["dough"].food.composition.energy_kcal == 350
    assert asked(changed).questions() == ()


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("food:beef", 9), ("food:beef", 0), ("food:beef", "qqqzzz"), ("amount:dough", "a lot"), ("servings", "many"), ("servings", 0),
        ("food:dough", {"sugar": 3}), ("food:dough", {}), ("food:dough", {"fat_g": -1}), ("amount:dough", None), ("food:beef", True),
    ],
)  # fmt: skip
def test_an_answer_that_does_not_fit_is_refused(question: str, answer: object) -> None:
    with pytest.raises(CannotDo, match=question.partition(":")[0]):
        answered({question: answer})


def test_a_file_by_hand_is_asked_what_its_figures_lack() -> None:
    text = """\
dish: Pan
servings: 2
ingredients:
  eggs: 3
  onion: {amount: 1 cup, measured_as: whole}
  cream crumbs: {amount: 20 g}
  rusks: {amount: 50 g}
foods:
  rusks: {basis: us, allergens: [wheat]}
steps:
  - {stage: cook, do: Fry it all., add: {eggs: all, onion: all, cream crumbs: all, rusks: all}, screen: 30 s}
"""
    found = {q.id: q for q in asked(text).questions()}
    assert [c.words for c in found["size:eggs"].choices] == ["small", "medium", "large", "extra large"]
    assert "food:cream crumbs" in found
    assert "label:rusks" in found
    changed = answered({"size:eggs": 3, "label:rusks": {"energy_kcal": 400, "fat_g": 10}}, text)
    assert "  eggs: 3 large\n" in changed
    assert "allergens: [wheat]" in changed
    assert "energy_kcal: 400" in changed


def test_a_weight_that_nothing_tells_is_weighed() -> None:
    text = "dish: Pan\nservings: 2\ningredients: {leek: 1 bunch}\nsteps: [{stage: cook, do: Fry it., add: {leek: all}, screen: 9 s}]\n"
    (question,) = asked(text).questions()
    assert question.id == "amount:leek"
    changed = answered({"amount:leek": "20 g"}, text)
    assert asked(changed).dish.ingredients[0].grams == 20


def test_a_file_without_a_doubt_has_no_questions(run: Run) -> None:
    done = run("confirm", str(EXAMPLES / "fennel-bisque.yaml"), "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["questions"] == []


def test_json_and_answers_do_without_a_terminal(run: Run, table: Table, tmp_path: Path) -> None:
    file = table.write("pie.yaml", DISH)
    done = run("confirm", file, "--json")
    assert done.returncode == 1
    questions = json.loads(done.stdout)["questions"]
    assert {q["id"] for q in questions} == {"servings", "food:beef", "food:dough", "amount:dough"}
    answers = table.write("answers.yaml", "servings: 4\nfood:beef: 1\n")
    done = run("confirm", file, "--answers", answers)
    assert done.returncode == 1
    assert "2 answered, 2 left" in done.stdout
    answers = table.write("answers.json", json.dumps({"food:dough": 2, "amount:dough": 1}))
    assert run("confirm", file, "--answers", answers).returncode == 0
    assert run("macros", file).returncode == 0
    assert "unsure" not in (tmp_path / "pie.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "answers", ["servings: 4\nfood:cream: 1\n", "servings: 4\nfood:beef: 12\n", "- 1\n", "servings: [\n"]
)
def test_where_one_answer_does_not_fit_nothing_is_written(answers: str, run: Run, table: Table, tmp_path: Path) -> None:
    file = table.write("pie.yaml", DISH)
    assert run("confirm", file, "--answers", table.write("answers.yaml", answers)).returncode == 2
    assert (tmp_path / "pie.yaml").read_text(encoding="utf-8") == DISH


def test_a_meal_and_a_pipe_are_told_what_to_do(run: Run, table: Table) -> None:
    table.write("pie.yaml", DISH)
    meal = table.write("meal.yaml", "meal: Quay\nplates: 2\ndishes: [{dish: pie.yaml}]\n")
    assert run("confirm", meal, "--json").returncode == 2
    done = run("confirm", table.write("pie.yaml", DISH))
    assert done.returncode == 2
    assert "--answers" in done.stderr


def test_one_key_an_answer_and_it_can_be_left(
    table: Table, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    order = [q.id for q in asked().questions()]

    def keys(*pressed: str) -> None:
        waiting: Iterator[str] = iter(pressed)
        monkeypatch.setattr(confirm_terminal, "_key", lambda: next(waiting))
        monkeypatch.setattr(command.sys.stdin, "isatty", lambda: True, raising=False)

    keys("x", "1", "q")
    assert command.run(file) == 1
    out = capsys.readouterr().out
    assert "press one of the keys above" in out
    assert "stopped; 3 left" in out
    assert order[0] not in [q.id for q in asked((tmp_path / "pie.yaml").read_text(encoding="utf-8")).questions()]
    keys("s", "1", "1")
    assert command.run(file) == 1, "what is skipped is left"
    monkeypatch.setattr("builtins.input", lambda _="": "8")
    keys("w" if "servings" in _left(tmp_path) else "1")
    assert command.run(file) == 0
    assert "nothing is left to confirm" in capsys.readouterr().out


def _left(folder: Path) -> list[str]:
    return [q.id for q in asked((folder / "pie.yaml").read_text(encoding="utf-8")).questions()]
