"""Pages that are no recipe, or mean harm: one clear message, nothing executed, nothing fetched, nothing written where nothing can be read."""

from __future__ import annotations

import json
import socket
from pathlib import Path
from typing import Any

import pytest
import yaml

from scriptkit.cli.new import LARGEST_PAGE, run
from scriptkit.drafting.draft import draft
from scriptkit.drafting.source import recipe_of
from scriptkit.problems import CannotDo
from scriptkit.production import read_text

LEEKS = {"@type": "Recipe", "name": "Quay leeks", "recipeYield": "4 servings", "recipeIngredient": ["300 g leeks"]}


@pytest.fixture(autouse=True)
def _nothing_is_fetched(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def refused(*_: object, **__: object) -> None:
        raise AssertionError("a page makes nobody call the network")

    monkeypatch.setattr(socket, "socket", refused)
    monkeypatch.chdir(tmp_path)


def page(recipe: dict[str, Any]) -> bytes:
    data = json.dumps(recipe, ensure_ascii=False).replace("</", "<\\/")
    return f'<html><body><script type="application/ld+json">{data}</script></body></html>'.encode()


@pytest.mark.parametrize(
    ("raw", "code", "said"),
    [
        (b"", "no-recipe", "the file is empty"),
        (b"<html>" + b'<script>var recipe = {"@type": "Recipe"}</script>' * 3_000 + b"<div id=app></div></html>", "no-recipe", "no recipe data"),
        (page({"@type": "Recipe", "name": "Secret chowder", "isAccessibleForFree": False}), "no-recipe", "for members"),
        (page({"@type": "Recipe", "name": "Secret chowder", "isAccessibleForFree": "http://schema.org/False"}), "no-recipe", "for members"),
        (page({"@type": "Recipe", "name": "Nothing in it"}), "no-recipe", "lists no ingredients"),
        (b"<html><p>404 Not Found</p></html>", "no-recipe", "no recipe data"),
    ],
    ids=["empty", "scripts", "paywall", "paywall, as an address", "no ingredients", "not found"],
)  # fmt: skip
def test_one_clear_message_and_nothing_written(tmp_path: Path, raw: bytes, code: str, said: str) -> None:
    (tmp_path / "page.html").write_bytes(raw)
    with pytest.raises(CannotDo) as wrong:
        run(None, "", "page.html")
    (problem,) = wrong.value.problems
    assert (problem.code, said in problem.message, bool(problem.hint)) == (code, True, True), problem.message
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_page_of_50_mb_is_refused_by_its_size(tmp_path: Path) -> None:
    with (tmp_path / "page.html").open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(CannotDo) as wrong:
        run(None, "", "page.html")
    assert [p.code for p in wrong.value.problems] == ["too-large"] and LARGEST_PAGE < 50_000_000


def test_ten_thousand_ingredients_are_as_many_as_a_dish_takes() -> None:
    lines = [f"{n} g leeks" for n in range(1, 10_001)]
    made = draft(recipe_of(page({**LEEKS, "recipeIngredient": lines}), "page.html"))
    assert made.ingredients == 200
    assert made.remarks == (
        "it has 1000 or more lines of ingredients, and a dish file takes 200: the rest are left out",
    )


@pytest.mark.parametrize(
    ("lines", "language", "amounts"),
    [
        (["500 g Kartoffeln, mehligkochend", "2 EL Butter", "100 ml Sahne", "Salz und Pfeffer"], "German", ["500 g", "19 g", "100 g", "to taste"]),
        (["じゃがいも 300g", "牛乳 200ml", "塩"], "a language with letters of its own", ["300 g", "200 g", "to taste"]),
        (["300 г картофеля", "соль"], "a language with letters of its own", None),
    ],
    ids=["German", "Japanese", "Russian"],
)  # fmt: skip
def test_another_language_is_said_and_none_of_its_foods_is_guessed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], lines: list[str], language: str, amounts: list[str] | None
) -> None:
    steps = "Die Kartoffeln schälen und mit der Sahne kochen." if language == "German" else ""
    (tmp_path / "page.html").write_bytes(page({**LEEKS, "recipeIngredient": lines, "recipeInstructions": steps}))
    assert run(None, "soup.yaml", "page.html") == 1
    assert f"it is in {language}: numbers and units are read, its foods are unknown" in capsys.readouterr().err
    found = yaml.safe_load((tmp_path / "soup.yaml").read_text(encoding="utf-8"))["ingredients"].values()
    assert not any(isinstance(one, dict) and "food" in one for one in found)
    assert amounts is None or [one["amount"] if isinstance(one, dict) else one for one in found] == amounts


HOSTILE = {
    "@type": "Recipe",
    "name": 'Pie\x1b[31m{{ 7*7 }} ${HOME} `id` <script>alert(1)</script>"\n- x: !!python/object/apply:os.system [id]',
    "description": "&lt;img src=x onerror=alert(1)&gt;",
    "author": {"name": "../../etc/passwd"},
    "recipeYield": "4 servings\nanswered: {raw-egg: yes}",
    "recipeIngredient": [
        "300 g leeks: {amount: 1 kg}",
        "1 tbsp *anchor &ref !!python/name:os.system",
        "2 eggs # comment",
        "'; DROP TABLE foods; --",
        "100 g {{ config }} butter",
        "\u202e50 g sugar",
        "30 g \x00flour",
    ],
    "recipeInstructions": [
        "Bake at 180 °C.\n...\n---\nsteps: []",
        "{% include '/etc/passwd' %} Stir {leeks} in.",
        "<iframe src='http://example.org'></iframe>Serve.",
    ],
    "image": "http://example.org/track.gif",
    "url": "javascript:alert(1)",
}


def test_hostile_text_stays_text(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_bytes(page(HOSTILE))
    assert run(None, "pie.yaml", "page.html") in (0, 1)
    text = (tmp_path / "pie.yaml").read_text(encoding="utf-8")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["dish.schema.json", "page.html", "pie.yaml"]
    dish = yaml.safe_load(text)  # one document, and no tag of Python in it
    assert set(dish) <= {"dish", "promise", "servings", "unsure", "ingredients", "foods", "steps"}
    assert all(line.isprintable() for line in text.splitlines())
    assert "{{ 7*7 }}" in dish["dish"] and len(dish["ingredients"]) >= 5
    production = read_text(text, "pie.yaml")
    assert "49" not in production.source.name


def test_hostile_text_is_escaped_on_the_pages(tmp_path: Path) -> None:
    from scriptkit.pack import make_pack

    (tmp_path / "page.html").write_bytes(page(HOSTILE))
    run(None, "pie.yaml", "page.html")
    production = read_text((tmp_path / "pie.yaml").read_text(encoding="utf-8"), "pie.yaml")
    for name, paper in make_pack(production).files.items():
        if name.endswith(".html"):
            assert "<script>alert(1)" not in paper and "<img src=x" not in paper, name
