"""``scriptkit buying``: one shopping list over the dishes and meals of a day."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from scriptkit.cli.changed import ForServings, reading_for
from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import Json
from scriptkit.cli.printing import exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Severity, error


@command(
    "buying",
    HelpPage(
        short="one shopping list over the dishes and meals of a day",
        reads="dishes and meals; with --servings each with the amounts for N.",
        writes="the list to standard output: what to buy, as the shop sells it, by shelf.",
        examples=(
            f"scriptkit buying {SUPPER} examples/seeded-loaf.yaml",
            "scriptkit buying examples/fennel-bisque.yaml examples/seared-hake.yaml --servings 12 --json",
        ),
    ),
)
def buying(
    sources: Annotated[list[str], typer.Argument(metavar="SOURCE...", help="Dishes and meals (YAML).")],
    servings: ForServings = None,
    json: Json = False,
) -> None:
    """One shopping list over the dishes and meals of a day: each food once, what all of them need together."""
    raise typer.Exit(run(sources, servings=servings, as_json=json))


def run(sources: list[str], *, servings: float | None = None, as_json: bool = False) -> int:
    """``servings``: servings of each dish, plates of each meal. Raises CannotDo, with the problems of all files, where one cannot be read."""
    from scriptkit.papers.buying import buying_of, purchase_rows
    from scriptkit.papers.tables import aligned
    from scriptkit.shoot.buying import purchases_of_all

    if sources.count("-") > 1:
        raise CannotDo([error(Place("-"), "option", "standard input can be read only once", "name the files")])
    readings = [reading_for(source, servings) for source in sources]
    problems = [p for reading in readings for p in reading.problems]
    texts = {file: lines for reading in readings for file, lines in reading.texts.items()}
    if any(p.severity is Severity.ERROR for p in problems):
        raise CannotDo(problems, texts)
    purchases = purchases_of_all([reading.usable() for reading in readings])
    if as_json:
        print_json({"of": sources, "buying": [_as_json(row) for row in purchase_rows(purchases)]})
    else:
        for kind in buying_of(purchases, (), ()).kinds:
            print(kind.name)
            rows = [
                (
                    row.shop or row.buy,
                    row.called,
                    f"for {row.buy}" if row.shop and row.purchase.whole_g is None else row.recipe,
                    "; ".join(row.uses),
                )
                for row in kind.rows
            ]
            print("\n".join(f"  {line}" for line in aligned(rows, right=(0,))), end="\n\n")
    print_problems(problems, texts)
    return exit_code(problems)


def _as_json(row: Any) -> dict[str, Any]:
    purchase = row.purchase
    return {
        "food": row.food,
        "called": row.called,
        "kind": purchase.food.category,
        "buy": row.buy,
        "shop": row.shop or None,
        "recipe_g": round(purchase.recipe_g, 1) if purchase.need is not None else None,
        "as_bought_g": round(purchase.bought_g, 1) if purchase.need is not None else None,
        "at_home": row.at_home,
        "for": [{"dish": w.used_in, "cooks": w.cooks} for w in purchase.wants],
    }
