"""A list read whole: headings in capitals, what is served beside, ranges in two units, how many it serves, and how foods are got ready."""

from __future__ import annotations

import pytest
import yaml

from scriptkit.drafting.draft import draft
from scriptkit.drafting.food_matching import usual_matcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.drafting.source import recipe_of

READER = LineReader(usual_matcher())


def read(line: str) -> DraftIngredient:
    (found,) = READER.read(line)
    return found


@pytest.mark.parametrize(
    ("lines", "names"),
    [
        (("SAUCE", "2 tbsp soy sauce", "NOODLES", "200 g dried egg noodles"), ["soy sauce", "dried egg noodles"]),
        (("FOR THE DOUGH", "500 g strong white bread flour", "TOPPING:", "100 g feta"), ["strong white bread flour", "feta"]),
        (("Pizza dough", "500 g plain flour", "The filling", "200 g spinach"), ["plain flour", "spinach"]),
        (("200 g rice", "SALT TO TASTE", "1 leek"), ["rice", "SALT", "leek"]),
        # harmless twins: a list in capitals, and foods without an amount
        (("SALT", "OLIVE OIL", "2 LEEKS"), ["SALT", "OLIVE OIL", "LEEKS"]),
        (("Hot sauce", "2 leeks"), ["hot sauce", "leeks"]), (("2 leeks", "Salsa"), ["leeks", "salsa"]),
    ],
)  # fmt: skip
def test_headings_by_how_they_stand_in_the_list(lines: tuple[str, ...], names: list[str]) -> None:
    assert [d.name for _, of in READER.read_all(lines) for d in of] == names


def test_no_heading_is_an_ingredient_of_the_dish_and_what_is_no_food_is_said() -> None:
    made = draft(
        RawRecipe(
            name="Quay noodles",
            serves="2",
            ingredients=("NOODLES", "200 g dried rice noodles", "SAUCE", "2 tbsp tamari", "4 wooden skewers"),
        )
    )
    assert list(yaml.safe_load(made.text)["ingredients"]) == ["dried rice noodles", "tamari"]
    assert made.remarks == ("left out, as no food: 4 wooden skewers",)


@pytest.mark.parametrize("line", ["To serve: a green salad and crusty bread", "a green salad and crusty bread, to serve", "To serve – green salad and crusty bread"])  # fmt: skip
def test_what_is_served_beside_has_no_amount(line: str) -> None:
    assert [(d.name, d.amount) for d in READER.read(line)] == [
        ("green salad", "to taste"),
        ("crusty bread", "to taste"),
    ]


def test_what_is_served_by_the_piece_or_the_pinch_keeps_its_amount() -> None:
    assert read("To serve: 4 flour tortillas").amount == "4"
    assert read("a squeeze of lemon, to serve").amount == "1 tsp"


@pytest.mark.parametrize(
    ("line", "amount", "between"),
    [
        ("750 ml - 1 litre vegetable stock", "750 ml", ("750 ml", "1 l")), ("900 g to 1.2 kg floury potatoes", "900 g", ("900 g", "1.2 kg")),
        ("3 tbsp – 1/4 cup olive oil", "3 tbsp", ("3 tbsp", "1/4 cup")), ("8 oz - 225 g plain flour", "8 oz", ()), ("250 g/9 oz plain flour", "250 g", ()),
    ],
)  # fmt: skip
def test_a_range_in_two_units_is_one_and_the_same_amount_twice_is_none(
    line: str, amount: str, between: tuple[str, ...]
) -> None:
    assert (read(line).amount, read(line).between) == (amount, between)


@pytest.mark.parametrize(
    ("line", "prep"),
    [
        ("1 lb Italian sausage, casings removed", "casings removed"), ("200 g long-grain rice, rinsed until the water runs clear", "rinsed until the water runs clear"),
        ("600 g braising steak, cut into 3cm chunks", "cut into 3cm chunks"), ("2 red chillies, seeds removed, finely sliced", "seeds removed, finely sliced"),
        ("3 lb chicken wings, tips discarded", "tips discarded"), ("1 leek, then finely sliced", "then finely sliced"),
        # twins: a remark is no prep
        ("100 g walnuts, chopped ones are fine", ""), ("1 lb butter, softened butter works best", ""), ("2 leeks, I use small ones", ""), ("1 leek, optional", ""),
    ],
)  # fmt: skip
def test_how_it_is_got_ready_is_kept_in_its_words(line: str, prep: str) -> None:
    assert read(line).prep == prep


@pytest.mark.parametrize(
    ("text", "servings", "sure"),
    [
        ("Serves 4 as a main", 4, True), ("Serves 6 as a starter, 4 as a main", 4, True), ("Serves four", 4, True), ("Serves 4 generously", 4, True),
        ("For 3–4", 3, False), ("It feeds 4 hungry people, or 6 with a salad.", 4, False), ("There is enough here for six.", 6, True), ("For 4", 4, True),
        ("Bake for 4 hours if you can.", 1, False),
    ],
)  # fmt: skip
def test_how_many_a_text_says_that_it_serves(text: str, servings: int, sure: bool) -> None:
    found = recipe_of(
        f"Leek pot\n\n{text}\n\nIngredients\n2 leeks\n30 g butter\n\nMethod\nFry the leeks in the butter.\n".encode(),
        "x.txt",
    )
    dish = yaml.safe_load(draft(found).text)
    assert (dish["servings"], "unsure" not in dish) == (servings, sure)


def test_times_in_words() -> None:
    found = recipe_of(
        b"Leek pot\nPrep: 20 mins\nCooking time: 1 hr 15\nTotal: an hour and a half\nServes 2\n\nIngredients\n2 leeks\n\nMethod\nFry.\n",
        "x.txt",
    )
    assert (found.prep_ms, found.cook_ms, found.total_ms) == (1_200_000, 4_500_000, 5_400_000)


@pytest.mark.parametrize(
    ("line", "amount", "sure"),
    [("butter the size of a walnut", "28 g", True), ("a piece of butter, the size of an egg", "57 g", True), ("1 tin anchovies", "140 g", False), ("1 package flour tortillas", "250 g", False)],
)  # fmt: skip
def test_lumps_and_packets(line: str, amount: str, sure: bool) -> None:
    found = read(line)
    assert (found.amount, found.amount_sure == 1) == (amount, sure)


def test_why_an_amount_is_a_guess_goes_with_the_doubt_and_is_no_comment_that_outlives_it() -> None:
    made = draft(
        RawRecipe(
            name="Shanks",
            serves="2",
            ingredients=("2 lamb shanks", "500 g carrots and potatoes"),
            steps=("Roast it all.",),
        )
    )
    lines = {
        line.split(":")[0].strip(): line
        for line in made.text.splitlines()
        if line.startswith("  ") and "read_from" in line
    }
    assert list(lines) == ["lamb shanks", "carrots", "potatoes"]
    assert not any("#" in line for line in lines.values())
    assert (
        "2 lamb shanks; nothing says what 2 weighs" in lines["lamb shanks"]
        and "together; taken as equal parts" in lines["carrots"]
    )


@pytest.mark.parametrize(
    ("line", "foods"),
    [
        ("2cm piece of ginger, grated", ["ginger, fresh 5 g"]), ("1 inch piece fresh ginger", ["ginger, fresh 6 g"]), ("5cm stick of cinnamon", ["cinnamon 3.0 g"]),
        ("1 pkt dry yeast", ["yeast, dried 1 package"]), ("1 x 400 g can brown lentils, drained", ["lentils, cooked 240 g"]), ("1 (6 oz) can tomato paste", ["tomato paste 6 oz"]),
        ("juice and finely grated zest of 2 limes", ["lime juice 88 g", "lemon zest 8 g"]), ("1 orange, zest finely grated, plus juice", ["orange juice 86 g", "orange zest 12 g"]),
        ("olive oil, salt and lemon juice, to dress", ["olive oil to taste", "salt to taste", "lemon juice to taste"]), ("2 tbsp tomato purée", ["tomato paste 2 tbsp"]),
        ("coriander to finish", ["coriander leaves to taste"]), ("few sprigs of thyme", ["thyme, fresh 3 sprigs"]), ("thumb of ginger", ["ginger, fresh 15 g"]),
        # twins
        ("2 cm cubes of bread", None), ("500 g tomato purée", None), ("1 tsp ground coriander, to finish", ["coriander seeds 1 tsp"]), ("1 lime, juice only", ["lime juice 44 g"]),
    ],
)  # fmt: skip
def test_lengths_cans_and_parts_of_fruit(line: str, foods: list[str] | None) -> None:
    found = READER.read(line)
    if foods is None:
        assert any(d.to_confirm for d in found)
        return
    named = [d.food or (READER.pantry.find(d.name).name if d.known else d.name) for d in found]
    assert [f"{name} {d.amount}" for name, d in zip(named, found, strict=True)] == foods
    assert not any(d.to_confirm for d in found)
