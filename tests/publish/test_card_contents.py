"""What stands on the recipe card, how it is fitted on one page, and that no text of a file gets out of its place."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest
from conftest import Table
from publications import GOOD, files_of, of_example, published

from scriptkit.papers.files import publish_files
from scriptkit.papers.page_fit import FULL_PT, PAPERS_PT, SIZES_PT, SMALLEST_PT, back_em, card_page_of, fit, front_em
from scriptkit.papers.recipe_card import card_of, with_short_cautions
from scriptkit.publish.publication import DEFERRING
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.safety.rules import rule_ids, rules

NBSP = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_example_fits_on_a_page_and_says_what_must_be_said(path: object) -> None:
    publication = published(read_source(str(path)).usable())
    page, told = card_page_of(publication, "{}")
    assert told == []
    assert float(page.size) in SIZES_PT
    of = page.card
    assert any("Follow your local food code" in line for line in of.deferring)
    assert any("not medical advice" in line for line in of.deferring)
    assert any("US basis" in line for line in of.nutrition_notes)
    assert len(of.allergens) >= 2
    full, short = card_of(publication), with_short_cautions(of, publication, rule_ids())
    assert len(of.cautions) in {len(full.cautions), len(short.cautions)}


def test_rules_for_the_set_are_not_for_viewers() -> None:
    assert set(rule_ids()) >= DEFERRING
    text = publish_files(of_example("harbour-supper.yaml"))[0]["recipe-card.html"]
    assert "tripod" not in text.casefold()


def test_figures_of_a_plate_add_up_as_printed() -> None:
    of = card_of(of_example("harbour-supper.yaml"))
    assert of.heads == (f"bisque 320{NBSP}g", f"hake 165{NBSP}g", f"plate 485{NBSP}g", f"per 100{NBSP}g")
    rows = {row.name: row.cells for row in of.nutrition}
    for name in ("Fat", "Carbohydrate", "less fibre", "Net carbs", "Protein", "Energy, kcal"):
        one, other, plate, _ = (float(cell) for cell in rows[name])
        assert round(one + other, 1) == plate, name
    for carbs, fibre, net in zip(rows["Carbohydrate"], rows["less fibre"], rows["Net carbs"], strict=True):
        assert round(float(carbs) - float(fibre), 1) == float(net)


def test_a_dish_has_its_serving_and_100_g() -> None:
    of = card_of(of_example("fennel-bisque.yaml"))
    assert of.heads == (f"serving 320{NBSP}g", f"100{NBSP}g")
    assert of.facts[:3] == ("Makes 6 servings", "320 g a serving", "49 min for one cook (12 min prep)")
    assert of.parts[0].quantities[0].lead == ("43", "g")
    assert of.parts[0].quantities[2].beside == ("3 ¾", "cups")


def test_the_columns_of_quantities_hold_their_longest_figure(table: Table) -> None:
    dish = "dish: Broth\nunits: us\nservings: 2\ningredients: {%s}\nsteps: [{stage: cook, do: Stir it., add: [leek]}]\n"
    short = card_of(published(table.dish(dish % "leek: 8 oz")))
    long = card_of(published(table.dish(dish % "leek: 1 g")))
    assert long.parts[0].quantities[0].lead == ("under 0.1", "oz")
    assert long.amount_widths[0] > short.amount_widths[0] == 4.0
    assert long.amount_widths[1:] == short.amount_widths[1:]


def test_an_estimate_is_marked() -> None:
    of = card_of(of_example("pork-chops.yaml"))
    assert of.heads[0].startswith("serving about ")
    assert any("Nobody weighed" in note for note in of.nutrition_notes)


def test_a_scaled_card_says_what_does_not_scale() -> None:
    of = card_of(of_example("fennel-bisque.yaml", 12))
    assert of.facts[0] == "Makes 12 servings"
    assert any("scaled from 6; times and vessels are not" in fact for fact in of.facts)
    assert any("6 batches" in line for line in of.cautions)


def test_a_meal_of_many_dishes_prints_the_plate_alone(table: Table) -> None:
    for n in range(5):
        table.write(
            f"d{n}.yaml",
            f"dish: D{n}\nservings: 1\ningredients: {{leek: 50 g}}\nsteps: [{{stage: cook, do: Stir., add: leek}}]\n",
        )
    meal = table.meal("meal: M\ndishes: [" + ", ".join(f"{{dish: d{n}.yaml}}" for n in range(5)) + "]\n")
    assert card_of(published(meal)).heads == (f"plate about 250{NBSP}g", f"per 100{NBSP}g")


def long_dish(steps: int, ingredients: int, words: int = 12) -> str:
    names = [f"part {n}" for n in range(ingredients)]
    listed = "\n".join(f"  {name}: {{amount: 10 g, food: leek, prep: 'sliced, 5 mm'}}" for name in names)
    rows = "\n".join(
        f'  - {{stage: cook, do: "{"Stir it well. " * words}", screen: 12 s, add: [{", ".join(names) if not n else ""}]}}'
        for n in range(steps)
    )
    return f"dish: Long broth\nservings: 2\ncooked_weight: 900 g\ningredients:\n{listed}\nsteps:\n{rows}\n"


def test_type_gets_smaller_before_a_second_page_is_needed_and_that_is_said(table: Table) -> None:
    sizes = [fit(card_of(published(table.dish(long_dish(n, n, 6))))) for n in (3, 9, 13, 90)]
    assert [f.pages for f in sizes] == [1, 1, 1, 2]
    assert sizes[0].size_pt > sizes[2].size_pt >= SMALLEST_PT
    _, told = card_page_of(published(table.dish(long_dish(90, 90))), "{}")
    assert [p.code for p in told] == ["card"]
    assert "takes two" in told[0].message


def test_a_card_that_fills_more_than_a_page_is_laid_on_two(table: Table) -> None:
    """The method on the first, nutrition and cautions on the second, in type that is read at arm's length."""
    page, told = card_page_of(published(table.dish(long_dish(18, 30, 9))), "{}")
    assert page.parted and float(page.size) >= FULL_PT
    assert [p.message for p in told] == [
        "the recipe card takes two pages, the method on the first, nutrition and cautions on the second"
    ]
    width, high = PAPERS_PT[0][0] / float(page.size), PAPERS_PT[0][1]
    assert max(front_em(page.card, width), back_em(page.card, width)) * float(page.size) <= high
    short, nothing = card_page_of(published(table.dish(long_dish(3, 3, 6))), "{}")
    assert not short.parted and nothing == []
    endless, _ = card_page_of(published(table.dish(long_dish(90, 90))), "{}")
    assert not endless.parted


def test_cautions_are_in_full_while_there_is_room_and_published_figures_longest() -> None:
    small = card_page_of(of_example("seared-hake.yaml"), "{}")[0].card
    assert any("Never water" in line for line in small.cautions)
    supper, _ = card_page_of(of_example("harbour-supper.yaml"), "{}")
    assert float(supper.size) <= FULL_PT
    lines = [line.replace("\N{NO-BREAK SPACE}", " ") for line in supper.card.cautions]
    assert any("63 °C (145 °F) inside, or until the flesh is opaque" in line for line in lines)


# --- hostile text ----------------------------------------------------------------------------------------------------

EVIL = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\" ' & {{ 7*7 }} {% raw %} \u202e\u2028 --> ]]>"


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]

    def handle_data(self, data: str) -> None:
        self.text += data


def hostile(table: Table) -> dict[str, str]:
    q = json.dumps(EVIL, ensure_ascii=False).replace("\u2028", "\\u2028").replace("\u202e", "\\u202e")
    dish = table.dish(
        f"""\
        dish: {q}
        short: {q}
        promise: {q}
        served: {q}
        author: {q}
        links: [{{to: "https://example.org/?a=1&b='2'", text: {q}}}]
        video: {{url: "https://example.org/v?a=1&b=2", uploaded: "2026-05-01", picture: "https://example.org/p.jpg"}}
        corrections: [{{text: {q}, at: "1:00"}}]
        servings: 2
        ingredients: {{{q}: {{amount: 500 g, food: leek, prep: {q}}}, hake: 300 g}}
        steps:
          - {{stage: prep, do: {q}, uses: [{q}], screen: 12 s}}
          - {{stage: cook, do: {q}, chapter: {q}, heat: {q}, vessel: {q}, add: [{q}, hake], core: 63 °C, screen: 20 s}}
        """
    )
    return files_of(dish)


def test_hostile_text_stays_text_in_the_card(table: Table) -> None:
    text = hostile(table)["recipe-card.html"]
    page = Tags()
    page.feed(text)
    assert page.tags.count("script") == 1
    assert "img" not in page.tags
    assert not [a for a in page.attributes if a.startswith("on")]
    assert page.text.count("alert(1)") >= 8
    assert "\u202e" not in text
    assert "{{ 7*7 }}" in page.text


def test_hostile_text_stays_in_the_script_element_and_means_the_same(table: Table) -> None:
    files = hostile(table)
    inside = re.findall(r'<script type="application/ld\+json">(.*?)</script>', files["recipe-card.html"], re.DOTALL)
    assert len(inside) == 1
    for raw in (inside[0], files["files/recipe.jsonld"]):
        assert not set("<>&\u2028\u202e") & set(raw)
        data = json.loads(raw)
        assert "</script><script>alert(1)</script>" in data["name"]
        assert data["video"]["url"] == "https://example.org/v?a=1&b=2"


def test_hostile_text_is_taken_by_platforms(table: Table) -> None:
    files = hostile(table)
    for name in ("description.txt", "pinned-comment.txt"):
        assert not set("<>\u2028\u202e") & set(files[name])
        assert "{{ 7*7 }}" in files[name]
    chapters = files["files/chapters.vtt"]
    assert "<script" not in chapters
    assert chapters.count("-->") == chapters.count("chapter-")


def test_a_line_of_a_file_forges_no_line_of_the_description(table: Table) -> None:
    dish = table.dish(
        'dish: "Broth\\n\\nCHAPTERS\\n0:00 Forged"\nservings: 1\ningredients: {leek: 50 g}\nsteps: [{stage: cook, do: Stir., add: leek}]'
    )
    lines = files_of(dish)["description.txt"].split("\n")
    assert lines[0] == "Broth CHAPTERS 0:00 Forged"
    assert "CHAPTERS" not in lines


def test_what_only_the_crew_needs_is_on_the_papers_and_not_with_the_video(table: Table) -> None:

    crew = {r.id: r.printed for r in rules() if r.for_crew}
    dish = table.dish(
        """\
        dish: Custard
        servings: 2
        film: {heroes: 1, lights: mains}
        ingredients: {milk: {amount: 400 ml, food: "milk, whole"}}
        steps:
          - {stage: cook, do: Simmer the milk with the lamp over the steaming pan., add: milk, vessel: pan, screen: 12 s}
        """
    )
    assert (
        {c.rule.id for c in cautions_in(dish)}
        >= set(crew)
        == {"stand-ins", "tripod-and-cables", "mains-lights", "lamp-over-steam"}
    )
    files = publish_files(published(dish))[0]
    assert not [text for text in crew.values() for file in files.values() if text[:40] in file]


def test_the_heads_are_of_what_stands_below_where_one_dish_of_a_meal_leads_in_its_own_units(table: Table) -> None:
    for units, heads in (("units: us", ("Amount", "Or")), ("promise: Sweet.", ("Metric", "US"))):
        table.write("beans.yaml", MEAL_DISH.replace("NAME", "Beans").replace("MORE", units))
        table.write("carrots.yaml", MEAL_DISH.replace("NAME", "Carrots").replace("MORE", "promise: Plain."))
        meal = table.write(
            "meal.yaml",
            "meal: Quay plate\nplates: 2\ndishes: [{dish: beans.yaml, portion: 1 serving}, {dish: carrots.yaml, portion: 1 serving}]\n",
        )
        assert card_of(published(read_source(str(meal)).usable())).amount_heads == heads


MEAL_DISH = """\
dish: NAME
servings: 2
MORE
ingredients:
  onion: 200 g
  olive oil: 2 tbsp
steps:
  - {id: fry, stage: cook, do: Soften the onion in the oil., heat: medium, add: [olive oil, onion], hands: 5 min, screen: 10 s}
"""
