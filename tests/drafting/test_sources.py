"""Where a recipe is found: JSON-LD, saved pages, microdata, plain text; and what is no recipe."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.drafting.linked_recipe import duration_ms
from scriptkit.drafting.page import DEEPEST, MOST_VALUES, items_of, plain
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.drafting.source import recipe_of

RECIPE = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Harbour leeks",
    "description": "Soft <b>leeks</b> &amp; butter",
    "recipeYield": ["4", "4 servings"],
    "prepTime": "PT10M",
    "totalTime": "PT1H5M",
    "author": [{"@type": "Person", "name": "The kitchen"}],
    "recipeIngredient": ["300 g leeks", "2 tbsp butter"],
    "recipeInstructions": [{"@type": "HowToStep", "text": "Slice."}, {"@type": "HowToStep", "name": "Soften."}],
    "nutrition": {"@type": "NutritionInformation", "calories": "120 kcal"},
}


def found(text: str, name: str = "page.html") -> RawRecipe:
    return recipe_of(text.encode("utf-8"), name)


def page(*scripts: str, body: str = "") -> str:
    inside = "".join(f'<script type="application/ld+json">{s}</script>' for s in scripts)
    return f"<!doctype html><html><head><title>x</title>{inside}</head><body>{body}</body></html>"


EVERY = [
    json.dumps(RECIPE),
    json.dumps([{"@type": "WebSite"}, RECIPE]),
    json.dumps({"@context": "https://schema.org", "@graph": [{"@type": "Person", "name": "x"}, RECIPE]}),
    json.dumps({"@type": "WebPage", "mainEntity": {**RECIPE, "@type": ["Thing", "http://schema.org/Recipe"]}}),
    json.dumps({**RECIPE, "@type": "schema:Recipe"}),
    "\ufeff  " + json.dumps(RECIPE, indent=2),
]


@pytest.mark.parametrize("text", EVERY)
@pytest.mark.parametrize("as_page", [False, True], ids=["file", "page"])
def test_recipe_data_wherever_it_stands(text: str, as_page: bool) -> None:
    of = found(page("{}", text), "p.html") if as_page else found(text, "r.jsonld")
    assert of.name == "Harbour leeks"
    assert of.promise == "Soft leeks & butter"
    assert of.serves == "4 servings"
    assert of.ingredients == ("300 g leeks", "2 tbsp butter")
    assert of.steps == ("Slice.", "Soften.")
    assert (of.prep_ms, of.cook_ms, of.total_ms) == (600_000, None, 3_900_000)
    assert (of.author, of.energy) == ("The kitchen", "120 kcal")


@pytest.mark.parametrize(
    ("instructions", "steps"),
    [
        ("Slice.\nSoften.", ("Slice.", "Soften.")),
        (["Slice.", "Soften."], ("Slice.", "Soften.")),
        ("<ol><li>Slice.</li><li>Soften.</li></ol>", ("Slice.", "Soften.")),
        (
            [{"@type": "HowToSection", "name": "One", "itemListElement": [{"@type": "HowToStep", "text": "Slice."}]},
             {"@type": "HowToSection", "itemListElement": {"@type": "HowToStep", "text": "Soften."}}],
            ("Slice.", "Soften."),
        ),
        ({"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": {"@type": "HowToStep", "text": "Slice."}}, "Soften."]}, ("Slice.", "Soften.")),
        ([], ()),
    ],
)  # fmt: skip
def test_instructions_in_every_shape(instructions: object, steps: tuple[str, ...]) -> None:
    assert found(json.dumps({**RECIPE, "recipeInstructions": instructions}), "r.json").steps == steps


def test_several_recipes_are_named_and_one_with_ingredients_is_taken() -> None:
    text = json.dumps([{"@type": "Recipe", "name": "Teaser"}, RECIPE, {**RECIPE, "name": "Other"}])
    assert (found(text, "r.json").name, found(text, "r.json").others) == ("Harbour leeks", ("Other",))


def test_data_that_pages_write_carelessly() -> None:
    raw = json.dumps(RECIPE).replace("Slice.", "Slice\tit.\n")  # a bare line end in a JSON text
    raw = raw.replace("\\t", "\t").replace("\\n", "\n")
    assert found(page(f"<!-- {raw} -->"), "p.html").steps[0] == "Slice it."
    assert found(page(f"//<![CDATA[\n{json.dumps(RECIPE)}\n//]]>"), "p.html").name == "Harbour leeks"
    upper = page(json.dumps(RECIPE)).replace('type="application/ld+json"', 'TYPE="Application/LD+JSON; charset=utf-8"')
    assert found(upper, "p.html").name == "Harbour leeks"


MICRODATA = """
<div itemscope itemtype="https://schema.org/Recipe">
  <h1 itemprop="name">Harbour leeks</h1>
  <img itemprop="image" src="x.jpg"><meta itemprop="recipeYield" content="4 servings">
  <time itemprop="prepTime" datetime="PT10M">ten minutes</time>
  <span itemprop="author" itemscope itemtype="https://schema.org/Person"><b itemprop="name">The kitchen</b></span>
  <ul><li itemprop="recipeIngredient">300&nbsp;g <b>leeks</b><br></li><li itemprop="recipeIngredient">2 tbsp butter</li></ul>
  <ol itemprop="recipeInstructions"><li>Slice.</li><li>Soften.</li></ol>
  <script>steal()</script>
</div>
"""


def test_microdata() -> None:
    of = found(f"<html><body>{MICRODATA}</body></html>")
    assert (of.name, of.serves, of.prep_ms, of.author) == ("Harbour leeks", "4 servings", 600_000, "The kitchen")
    assert of.ingredients == ("300 g leeks", "2 tbsp butter")
    assert of.steps == ("Slice.", "Soften.")


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        (page(body="<p>No recipe here.</p>"), "p.html", "there is no recipe data in it"),
        (page('{"@type": "Recipe", "name": "x"}'), "p.html", "lists no ingredients"),
        (page('{"@type": "Recipe", "name": '), "p.html", "cannot be read"),
        ('{"@type": "Recipe", "name": ', "r.json", "not JSON (line 1"),
        ("{}", "r.jsonld", "there is no recipe data"),
        ("", "r.json", "not JSON"),
        ("", "r.txt", "the file is empty"),
        ("Dear diary,\ntoday it rained on the quay.\n", "r.txt", "no list of ingredients"),
        ("[" * 100_000, "r.json", "not JSON"),
        ('{"a":' * 100_000, "r.json", "not JSON"),
        ("[" * 5_000 + "]" * 5_000, "r.json", "brackets"),
    ],
)
def test_what_is_no_recipe_is_said_with_what_would_do(text: str, name: str, said: str) -> None:
    with pytest.raises(NoRecipe) as wrong:
        found(text, name)
    assert said in str(wrong.value) or "brackets" in str(wrong.value)
    assert wrong.value.hint


def test_a_picture_is_no_text() -> None:
    with pytest.raises(NoRecipe, match="not a text file"):
        recipe_of(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "p.png")


def test_encodings() -> None:
    text = page(json.dumps({**RECIPE, "name": "Pâté"}, ensure_ascii=False))
    assert recipe_of(text.encode("utf-16"), "p.html").name == "Pâté"
    latin = text.replace("<head>", '<head><meta charset="iso-8859-1">').encode("latin-1")
    assert recipe_of(latin, "p.html").name == "Pâté"
    assert recipe_of(b"\xff".join([b"<html>", text.encode()]), "p.html").ingredients


PLAIN = """\
Harbour leeks

A soft side dish for a windy day.
Serves 4
Prep time: 10 min

Ingredients

For the leeks:
- 300 g leeks
- 2 tbsp butter
* salt

Method

1. Slice the leeks.
2. Soften them in the butter
for 8 minutes.
"""


def test_plain_text_with_headings() -> None:
    of = found(PLAIN, "r.txt")
    assert of.name == "Harbour leeks"
    assert of.promise == "A soft side dish for a windy day."
    assert (of.serves, of.prep_ms) == ("Serves 4", 600_000)
    assert of.ingredients == ("300 g leeks", "2 tbsp butter", "salt")
    assert of.steps == ("Slice the leeks.", "Soften them in the butter for 8 minutes.")


def test_plain_text_without_headings() -> None:
    of = found("Leeks\n300 g leeks\n2 tbsp butter\nsalt\n\nSlice the leeks. Soften them. Season.\n", "r.txt")
    assert of.ingredients == ("300 g leeks", "2 tbsp butter", "salt")
    assert of.steps == ("Slice the leeks.", "Soften them.", "Season.")


def test_a_list_that_is_run_in() -> None:
    of = found(
        "Pease Pudding\nINGREDIENTS.—1 1/2 lb. of split peas, 2 oz. of butter, 2 eggs.\nMode.—Boil it.\nSufficient for 7 persons.\n",
        "r.txt",
    )
    assert of.ingredients == ("1 1/2 lb. of split peas", "2 oz. of butter", "2 eggs")
    assert of.serves == "Sufficient for 7 persons."
    assert of.steps == ("Boil it.",)


def test_entities_and_elements_become_plain_text() -> None:
    assert plain("a &lt;b&gt; <i>c</i><script>x()</script> &frac12;") == "a <b> c ½"


def test_durations() -> None:
    assert [duration_ms(t) for t in ("PT90M", "P1DT1H", "PT0M", "PT", "P", "90", "PT1.5H", "P400D")] == [
        5_400_000, 90_000_000, None, None, None, None, 5_400_000, None,
    ]  # fmt: skip


@settings(max_examples=60)
@given(st.text(max_size=300))
def test_any_text_is_a_recipe_or_told(text: str) -> None:
    for name in ("r.txt", "r.html", "r.json"):
        try:
            assert found(text, name).ingredients
        except NoRecipe as wrong:
            assert wrong.hint


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.sampled_from(["Recipe", "PT5M", "2 tbsp butter"]),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(st.sampled_from(["@type", "name", "text", "recipeIngredient", "recipeInstructions", "itemListElement", "recipeYield", "author", "nutrition"]), inner, max_size=6),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=60)
@given(JSON)
def test_any_data_is_a_recipe_or_told(data: object) -> None:
    try:
        of = found(
            json.dumps({"@type": "Recipe", "recipeIngredient": "1 egg", "x": data, "recipeInstructions": data}),
            "r.json",
        )
    except NoRecipe as wrong:
        assert wrong.hint
    else:
        assert of.ingredients


def test_a_page_that_never_ends_what_it_begins_is_still_read() -> None:
    """Unclosed comments, tags and scripts by the hundred thousand: each is looked at once."""
    assert found("<html>" + MICRODATA + "<!--" * 200_000).name == "Harbour leeks"
    assert found("<html>" + "<script" * 200_000 + "<!--" * 200_000 + page(json.dumps(RECIPE))).name == "Harbour leeks"
    with pytest.raises(NoRecipe):
        found("<html>" + "<!--<![CDATA[<?" * 200_000)


def test_a_byte_that_no_code_page_has_is_still_read() -> None:
    """0x81 is no character of windows-1252."""
    of = recipe_of("Leeks\n300 g leeks\n30 g crème ".encode("latin-1") + b"\x81\n\nBoil.\n", "r.txt")
    assert of.ingredients[1].startswith("30 g crème")


def test_lists_in_lists_are_read() -> None:
    of = found(
        json.dumps({**RECIPE, "name": [["Quay leeks"]], "recipeIngredient": [["300 g leeks"], "salt"]}), "r.json"
    )
    assert (of.name, of.ingredients) == ("Quay leeks", ("300 g leeks", "salt"))


def test_microdata_in_elements_that_close_themselves() -> None:
    of = found(
        '<div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Leeks</h1><meta itemprop="recipeYield" content="4"/>'
        '<img itemprop="image" itemscope itemtype="https://schema.org/ImageObject"/><input itemprop="recipeIngredient"/>'
        '<span itemprop="recipeIngredient">300 g leeks<br/></br></span><b itemprop="keywords"/>'
        '<p itemprop="recipeInstructions">Slice.<br/>Soften.</p></div>'
    )
    assert (of.name, of.serves) == ("Leeks", "4")
    assert (of.ingredients, of.steps) == (("300 g leeks",), ("Slice.", "Soften."))


def test_microdata_without_an_end_to_it_is_read_as_far_as_it_goes() -> None:
    lines = "".join(f'<li itemprop="recipeIngredient">{n} g leek</li>' for n in range(1, MOST_VALUES + 2))
    deep = '<b itemprop="keywords">' * (DEEPEST + 5) + '<i itemprop="description">too deep</i>'
    of = found(f'<div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Leeks</h1>{lines}{deep}</div>')
    (recipe,) = items_of(
        f'<div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Leeks</h1>{lines}{deep}</div>'
    )
    assert of.ingredients[0] == "1 g leek"
    assert len(recipe["recipeIngredient"]) == MOST_VALUES
    assert of.promise == ""


@pytest.mark.parametrize(
    ("after", "steps"),
    [
        ("1. Slice the leeks.\n2. Soften them.\n", ("Slice the leeks.", "Soften them.")),
        (
            "Soften the leeks slowly in the butter, without letting them colour, until they are glossy.\n",
            ("Soften the leeks slowly in the butter, without letting them colour, until they are glossy.",),
        ),
        ("salt\n", ()),
    ],
    ids=["numbered", "a sentence", "no method"],
)
def test_without_a_heading_for_the_method_the_list_ends_at_the_first_step(after: str, steps: tuple[str, ...]) -> None:
    of = found(f"Leeks\nIngredients\n300 g leeks\n30 g butter\n{after}", "r.txt")
    assert of.ingredients == ("300 g leeks", "30 g butter", *(() if steps else ("salt",)))
    assert of.steps == steps


def test_a_time_that_is_none_stays_among_the_words() -> None:
    of = found("Leeks\nCooking time: until soft\nIngredients\n300 g leeks\nMethod\nBoil.\n", "r.txt")
    assert (of.cook_ms, of.promise) == (None, "Cooking time: until soft")


def test_a_step_that_begins_with_a_figure_is_no_ingredient() -> None:
    prose = "Slice the leeks and soften them slowly in the butter, which must never colour."
    of = found(f"Leeks\n300 g leeks\n30 g butter\n\n{prose}\n10 minutes later, season.\n", "r.txt")
    assert of.ingredients == ("300 g leeks", "30 g butter")
    assert "10 minutes later, season." in of.steps[-1]


@pytest.mark.parametrize("figure", ["9" * 4000, "-" + "9" * 400, "1e999", "-Infinity", "NaN"])
def test_a_figure_that_nobody_cooks_by_is_no_traceback(figure: str) -> None:
    text = '{"@type": "Recipe", "name": "Leeks", "recipeYield": %s, "recipeIngredient": ["300 g leeks", %s]}'
    of = found(text % (figure, figure), "r.json")
    assert (of.serves in ("", "nan"), of.ingredients[0]) == (True, "300 g leeks")
