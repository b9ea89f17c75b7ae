"""``confirm`` of what no step of a draft names: it is asked at which step it goes in, and nothing of it is published before."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table
from messages import kinds

from scriptkit.confirming import Asked, edits_of
from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.problems import CannotDo
from scriptkit.recipe.file_edit import edited
from scriptkit.recipe.unconfirmed import unconfirmed_steps

Run = Callable[..., CompletedProcess[str]]

STEPS = ("Soften the leeks in the butter.", "Pour in the stock and simmer for 20 minutes.")
LISTED = ("300 g leeks", "30 g butter", "500 ml chicken stock")


def drafted(*more: str, steps: tuple[str, ...] = STEPS) -> str:
    return draft(RawRecipe(name="Leek pan", serves="4", ingredients=(*LISTED, *more), steps=steps)).text


def answered(text: str, **answers: object) -> str:
    return edited(text, edits_of(text, "p.yaml", {f"goes-in:{k}": v for k, v in answers.items()}), "p.yaml")


def test_what_no_step_names_is_a_doubt_and_is_asked() -> None:
    asked = Asked(drafted("80 g raisins"), "p.yaml")
    assert unconfirmed_steps(asked.dish) == ("step “where-does-it-go-in”",)
    (question,) = asked.questions()
    assert (question.id, question.asks) == ("goes-in:raisins", "goes-in")
    assert [c.words for c in question.choices] == [f"step-1: {STEPS[0]}", f"step-2: {STEPS[1]}"]


def test_where_every_step_names_its_own_nothing_is_asked() -> None:
    text = drafted()
    assert "unsure: {" not in text
    assert Asked(text, "p.yaml").questions() == ()


@pytest.mark.parametrize("answer", [2, "step-2"])
def test_an_answer_puts_it_into_its_step(answer: object) -> None:
    text = answered(drafted("80 g raisins"), raisins=answer)
    assert "where" not in text
    dish = Asked(text, "p.yaml").dish
    assert [[a.ingredient.key for a in s.additions] for s in dish.steps] == [["leeks", "butter"], ["chicken stock", "raisins"]]  # fmt: skip
    assert Asked(text, "p.yaml").questions() == ()


def test_of_several_each_is_asked_and_the_last_takes_the_step_away() -> None:
    text = drafted(
        "80 g raisins", "20 g honey", steps=("Soften the leeks in the butter.", "Leave it a while.", STEPS[1])
    )
    once = answered(text, raisins=2)  # a step without additions
    assert 'do: "No step says where these go in: honey."' in once
    assert [q.id for q in Asked(once, "p.yaml").questions()] == ["goes-in:honey"]
    both = answered(text, raisins=2, honey="step-1")
    assert [[a.ingredient.key for a in s.additions] for s in Asked(both, "p.yaml").dish.steps] == [["leeks", "butter", "honey"], ["raisins"], ["chicken stock"]]  # fmt: skip


@pytest.mark.parametrize("answer", [0, 3, "step-9", "80 g"])
def test_a_step_that_is_not_there_is_refused(answer: object) -> None:
    with pytest.raises(CannotDo):
        answered(drafted("80 g raisins"), raisins=answer)


def test_nothing_of_it_is_published_before(run: Run, table: Table, tmp_path: Path) -> None:
    lines = ["Leek pan", "Serves 4", "", *LISTED, "80 g raisins", "", "Method", *(f"{n}. {s}" for n, s in enumerate(STEPS, 1))]  # fmt: skip
    made = run("new", "--from", table.write("r.txt", "\n".join(lines)), "-o", "p.yaml")
    assert made.returncode == 1, made.stderr
    assert "1 guess to confirm" in made.stdout
    assert (tmp_path / "p.yaml").read_text(encoding="utf-8").count("unsure: {") == 1
    refused = run("publish", "p.yaml", "-o", "out")
    assert (refused.returncode, kinds(refused.stderr)) == (2, ["error unconfirmed"])
    assert "under `add:`" in refused.stderr
    packed = run("pack", "p.yaml", "-o", "pack")
    assert packed.returncode in (0, 1), packed.stderr
    assert not list((tmp_path / "pack").rglob("publish.html"))
    (found,) = json.loads(run("check", ".", "--json").stdout)["recipes"]
    assert found["unconfirmed"] == ["step “where-does-it-go-in”"]
    table.write("answers.yaml", "goes-in:raisins: 1\n")
    assert run("confirm", "p.yaml", "--answers", "answers.yaml").returncode == 0
    assert run("publish", "p.yaml", "-o", "out").returncode in (0, 1)
