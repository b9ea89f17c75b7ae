"""``scriptkit food``: find a food of the pantry."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import Json
from scriptkit.cli.printing import print_json
from scriptkit.problems import CannotDo, Place, error

if TYPE_CHECKING:
    from scriptkit.pantry.food import Food


@command(
    "food",
    HelpPage(
        short="find a food, its figures and its household weights",
        reads="the embedded food table.",
        writes="the food to standard output, per 100 g of the edible part, with the row that it comes from.",
        exits="0 found; 1 no match; 2 could not be done.",
        examples=("scriptkit food butter", "scriptkit food single cream --json"),
    ),
)
def food(
    words: Annotated[list[str], typer.Argument(metavar="WORDS", help="Words from its name.")],
    most: Annotated[int, typer.Option("--most", min=1, max=200, help="How many foods to list.")] = 12,
    json: Json = False,
) -> None:
    """Find a food of the pantry: its figures, its household weights and the row they come from."""
    raise typer.Exit(run(" ".join(words), most=most, as_json=json))


def run(words: str, *, most: int, as_json: bool) -> int:
    """0 where a food was found, 1 where none was. Raises CannotDo where no word was given."""
    from scriptkit.pantry.lookup import Pantry
    from scriptkit.pantry.names import words_of

    if not words_of(words):
        raise CannotDo(
            [
                error(
                    Place("WORDS"),
                    "option",
                    f"“{words}” does not name a food",
                    "write a word of its name, such as butter",
                )
            ]
        )
    pantry = Pantry()
    exact = [] if (food := pantry.known(words)) is None else [food.name]
    found = list(dict.fromkeys([*exact, *pantry.search(words, most=most)]))[:most]
    meant = [] if found else pantry.suggest(words)
    if as_json:
        print_json({"foods": [_json(pantry.find(n)) for n in found], "suggestions": meant})
    elif exact or len(found) == 1:
        print(_card(pantry.find(found[0])))
        if others := found[1:]:
            print(f"\nalso: {'; '.join(others)}")
    elif found:
        for name in found:
            print(_line(pantry.find(name)))
    if not found:
        hint = (
            f"did you mean {'; '.join(meant)}?"
            if meant
            else "give it a label under `foods:` in the dish, or in pantry.yaml"
        )
        print(f"the pantry has no food called “{words}”\n  fix: {hint}", file=sys.stderr)
    return 0 if found else 1


def _figure(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.4g}"


def _line(food: Food) -> str:
    c = food.composition
    return (
        f"{food.name}: {_figure(c.energy_kcal)} kcal, fat {_figure(c.fat_g)}, protein {_figure(c.protein_g)}, "
        f"carbs {_figure(c.carbohydrate_g)}, fibre {_figure(c.fibre_g)}, net carbs {_figure(c.net_carbs_g)}  [{food.source}]"
    )


def _card(food: Food) -> str:
    from scriptkit.nutrition.macros import words_of_macro
    from scriptkit.pantry.food import NUTRIENTS, SWEETENERS

    lines = [food.name, f"  per 100 g, edible part; {food.source}"]
    if food.synonyms:
        lines.append(f"  also called {', '.join(food.synonyms)}")
    for nutrient in NUTRIENTS:
        value = getattr(food.composition, nutrient)
        unit = nutrient.rsplit("_", 1)[1]
        if nutrient not in SWEETENERS or value:
            lines.append(
                f"  {words_of_macro(nutrient):14} {_figure(value):>8} {unit if value is not None else ''}".rstrip()
            )
    if food.second_net_carbs_g is not None:
        lines.append(f"  net carbs in {food.second_source}: {_figure(food.second_net_carbs_g)} g")
    if food.refuse_share is not None:
        lines.append(f"  trimmings, as bought: {food.refuse_share:.0%}")
    lines += [f"  {weight}" for weight in food.weights]
    what = ", ".join(food.allergens) or "none"
    lines.append(f"  allergens: {what if food.allergens_stated else 'not known, check the label'}")
    lines += [f"  may contain, check the label: {', '.join(food.may_contain)}"] if food.may_contain else []
    return "\n".join(lines)


def _rounded(value: float | None) -> float | None:
    """Without the last digits of a difference: 2.69, not 2.6900000000000004."""
    return None if value is None else round(value, 6)


def _json(food: Food) -> dict[str, Any]:
    from scriptkit.pantry.food import NUTRIENTS

    return {
        "name": food.name,
        "synonyms": list(food.synonyms),
        "category": food.category,
        "source": food.source,
        "per_100_g": {n: _rounded(getattr(food.composition, n)) for n in NUTRIENTS},
        "refuse_percent": None if food.refuse_share is None else round(food.refuse_share * 100, 2),
        "household_weights": [
            {"amount": w.amount, "unit": w.unit, "state": w.state, "grams": w.grams} for w in food.weights
        ],
        "allergens": list(food.allergens) if food.allergens_stated else None,
        "may_contain": list(food.may_contain),
        "check_label": food.check_label,
    }
