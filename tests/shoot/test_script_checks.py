"""What of the script is told: each check at its edge, with how far off it is."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.checks import script, silences
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.production import read
from scriptkit.shoot.day.day_checks import card_gb, recorded_ms

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def words(count: int) -> str:
    return " ".join(["word"] * count)


def told(table: Table, text: str) -> list[Problem]:
    work = Preproduction(table.dish(text))
    return [*script(work), *silences(work)]


def of(table: Table, text: str, code: str) -> list[str]:
    return [p.message for p in told(table, text) if p.code == code]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_examples_can_be_said_and_shot(path: object) -> None:
    assert [*script(read(str(path))), *silences(read(str(path)))] == []


# --- lines and pictures -----------------------------------------------------------------------------------------------

ONE = """
    dish: D
    servings: 1
    promise: {promise}
    film: {{{film}}}
    ingredients: {{salt: 3 g, olive oil: 20 g}}
    steps:
      - {{stage: cook, do: {do}, add: [salt, olive oil], vessel: pan, hands: 1 min, screen: {screen} s, sound: {sound}, say: "{say}"{more}}}
"""


def one(**words_of: str) -> str:
    usual = {"promise": "A promise.", "film": "opening: 4 s", "do": "Stir.", "screen": "9", "sound": "voice-over",
             "say": "Well.", "more": ""}  # fmt: skip
    return ONE.format(**(usual | words_of))


def test_a_line_longer_than_its_picture(table: Table) -> None:
    (found,) = [p for p in told(table, one(say=words(35))) if p.code == "line-too-long"]
    # 35 words at 150 a minute are 14 s; 5 s too long are 12.5 words.
    assert found.message == "the line takes 14 s, the picture 9 s: cut about 13 words"
    assert "screen: 14 s" in found.hint
    assert found.place.line == 8


@pytest.mark.parametrize(("count", "told_of"), [(22, 0), (23, 0), (24, 1)])
def test_half_a_second_is_not_told(table: Table, count: int, told_of: int) -> None:
    assert len(of(table, one(say=words(count)), "line-too-long")) == told_of  # 8.8 s, 9.2 s, 9.6 s


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 80), st.integers(4, 30), st.sampled_from([75, 100, 150, 200, 300]))
def test_what_is_too_long_fits_once_it_is_cut(
    tmp_path_factory: pytest.TempPathFactory, count: int, screen: int, rate: int
) -> None:
    table = Table(tmp_path_factory.mktemp("long"))
    film = f"opening: 10 s, reading_rate: {rate}"
    found = of(table, one(say=words(count), screen=str(screen), film=film), "line-too-long")
    assert bool(found) is (count * 60 / rate - screen >= 0.5)
    if found:
        cut = int(found[0].split("cut about ")[1].split()[0])
        assert of(table, one(say=words(count - cut), screen=str(screen), film=film), "line-too-long") == []


@pytest.mark.parametrize(
    ("changes", "count"),
    [
        ({"screen": "15"}, 1),
        ({"screen": "15", "film": "opening: 4 s, longest_silence: 16 s"}, 0),
        ({"screen": "15", "sound": "mos", "say": ""}, 0),
        ({"screen": "15", "say": f"Well. {words(6)}."}, 0),  # set apart, each pause is short
    ],
)
def test_picture_with_nothing_said(table: Table, changes: dict[str, str], count: int) -> None:
    second = '      - {stage: cook, do: Taste., hands: 1 min, screen: 3 s, say: "Now."}\n'
    assert len(of(table, one(**changes) + second, "silence")) == count


def test_how_long_nothing_is_said(table: Table) -> None:
    text = one(screen="20") + '      - {stage: cook, do: Taste., hands: 1 min, screen: 3 s, say: "Now."}\n'
    (found,) = [p for p in told(table, text) if p.code == "silence"]
    assert found.message == "20 s without narration, 0:04 to 0:24, mostly step 1 (step-1): 8 s over the limit of 12 s"
    assert found.hint.startswith("add a line of about 20 words there")


def test_a_blender_speaks_for_itself_and_so_does_a_file_without_lines(table: Table) -> None:
    blend = one(screen="40", do="Blend it.").replace("add: [salt, olive oil], ", "")
    assert of(table, blend + '      - {stage: cook, do: Taste., screen: 3 s, say: "Now."}\n', "silence") == []
    assert of(table, one(screen="60", say=""), "silence") == []


def test_a_line_over_a_picture_without_sound(table: Table) -> None:
    assert len(of(table, one(sound="mos"), "line-without-sound")) == 1
    assert of(table, one(sound="mos", say=""), "line-without-sound") == []


@pytest.mark.parametrize(
    ("do", "sound", "count"),
    [
        ("Blend it.", "sync", 1),
        ("Blend it.", "voice-over", 0),
        ("Sear it.", "sync", 1),
        ("Deep-fry it.", "sync", 1),
        ("Grill it.", "sync", 1),
        ("Stir it.", "sync", 0),
        ("Simmer it.", "sync", 0),
    ],
)
def test_speech_to_camera_over_noise(table: Table, do: str, sound: str, count: int) -> None:
    text = one(do=do, sound=sound, say=words(40), screen="20")
    found = of(table, text, "speech-over-noise")
    assert len(found) == count
    assert all("of speech to camera while the" in message for message in found)


def test_before_the_blender_runs_one_can_speak(table: Table) -> None:
    assert (
        of(table, one(do="Blend it.", sound="sync", say="Salt and olive oil.", screen="20"), "speech-over-noise") == []
    )


@pytest.mark.parametrize(
    ("count", "opening", "message"),
    [
        (10, 4, ""),
        (20, 4, "the promise takes 8 s, the opening 4 s: cut about 10 words"),
        (37, 20, ""),
        (45, 20, "the promise is made only after 18 s, 3 s later than 15 s: cut about 8 words"),
        (55, 20, "the promise is made only after 22 s, 7 s later than 15 s: cut about 18 words"),
        (5, 0, "the promise is not made: there is no opening"),
    ],
)
def test_the_promise(table: Table, count: int, opening: int, message: str) -> None:
    assert of(table, one(promise=words(count), film=f"opening: {opening} s"), "promise-late") == [message] * bool(
        message
    )


# --- amounts ----------------------------------------------------------------------------------------------------------

AMOUNTS = """
    dish: D
    servings: 2
    {cups}
    ingredients:
      butter: {{amount: 2 tbsp, food: "butter, unsalted"}}
      stock: {{amount: 1.2 l, food: "fish stock, homemade"}}
      celeriac: {{amount: 700 g, bought: whole}}
      fennel: {{amount: 2 bulbs, food: fennel bulb}}
      salt: to taste
    steps:
      - {{stage: cook, do: All in., add: {{butter: all, stock: half, celeriac: all, fennel: all, salt: to taste}}, say: "{say}"}}
      - {{stage: cook, do: The rest., add: {{stock: rest}}}}
"""


@pytest.mark.parametrize(
    ("say", "wrong"),
    [
        ("Two tablespoons of butter.", ""),
        ("Six teaspoons of butter.", ""),
        ("Twenty-eight grams of butter.", ""),
        ("An ounce of butter.", ""),
        ("Thirty grams of butter.", "7% more than the recipe"),
        ("About thirty grams of butter.", "7% more than the recipe"),
        ("About 29 g of butter.", ""),
        ("Three tablespoons of butter.", "50% more than the recipe"),
        ("{butter} of butter.", ""),
        ("Six hundred millilitres of the stock.", ""),
        ("0.6 l of stock.", ""),
        ("1.2 litres of stock.", "about twice the recipe's amount"),  # half goes in here
        ("600 g of celeriac", ""),
        ("700 g of celeriac", "16% more than the recipe"),  # bought; what goes in weighs less
        ("Two fennel bulbs", ""),
        ("One fennel bulb", "50% less than the recipe"),
        ("Two or three fennel bulbs", ""),
        ("Five grams of salt", ""),  # to taste
        ("Two tablespoons of parsley", ""),
        ("Butter for ten minutes", ""),
        ("A tablespoon of butter over each bowl.", ""),  # two servings
        ("A tablespoon of butter for each plate", ""),
        ("Each bowl gets a tablespoon of butter.", ""),
        ("A tablespoon of butter per person", ""),
        ("A tablespoon of butter over the bowls", "50% less than the recipe"),
        ("Three tablespoons of butter over each bowl", "50% more than the recipe"),
    ],
)
def test_amounts_that_are_not_the_recipes(table: Table, say: str, wrong: str) -> None:
    found = [p for p in told(table, AMOUNTS.format(say=say, cups="cups: us")) if p.code == "spoken-amount"]
    assert [p.message.split(": ")[-1] for p in found] == [wrong] * bool(wrong)
    assert all("and it is filled in" in p.hint for p in found)


def test_the_message_says_what_the_card_says(table: Table) -> None:
    (message,) = of(table, AMOUNTS.format(say="Three tablespoons of butter.", cups="cups: us"), "spoken-amount")
    assert message.startswith("the line says “Three tablespoons” of butter, and 28 g (2 tbsp) goes in at step 1")


def test_spoons_are_the_files_own(table: Table) -> None:
    for cups in ("us", "metric", "australian"):
        assert of(table, AMOUNTS.format(say="Two tablespoons of butter", cups=f"cups: {cups}"), "spoken-amount") == []


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 900))
def test_what_is_filled_in_is_never_wrong(tmp_path_factory: pytest.TempPathFactory, grams: int) -> None:
    from scriptkit.shoot.script.narration import narration_of

    table = Table(tmp_path_factory.mktemp("filled"))
    text = AMOUNTS.format(say="{butter} of butter", cups="cups: us").replace("2 tbsp", f"{grams} g")
    dish = table.dish(text)
    said = narration_of(dish.steps[0], dish)
    assert of(table, text.replace("{butter} of butter", said), "spoken-amount") == []


# --- the day ----------------------------------------------------------------------------------------------------------


def test_how_long_the_camera_runs(table: Table) -> None:
    dish = table.dish(one())
    shots = [row.shot for p in Preproduction(dish).script.passages for row in p.rows]
    handles, takes = 2 * dish.film.handles_ms, dish.film.takes
    assert recorded_ms(shots, dish.film) == sum(
        round((s.planned_ms + handles) * (1 if s.irreversible else takes)) for s in shots
    )


def test_a_card_holds_minutes_times_rate_over_eight() -> None:
    assert card_gb(60 * 60_000, 100) == pytest.approx(45.0)  # an hour at 100 Mb/s: 60 × 60 × 100 ÷ 8 MB


@pytest.mark.parametrize(
    ("film", "code"),
    [
        ("battery: 1 min", "battery"),
        ("battery: 2 h", ""),
        ("card_gb: 1, bitrate_mbit: 100", "card"),
        ("card_gb: 64, bitrate_mbit: 100", ""),
        ("card_gb: 64", "card"),
        ("daylight: 1 min", "daylight"),
        ("daylight: 8 h", ""),
    ],
)
def test_budgets(table: Table, film: str, code: str) -> None:
    found = [p.code for p in told(table, one(film=f"opening: 4 s, {film}"))]
    assert [c for c in found if c in ("battery", "card", "daylight")] == [code] * bool(code)


def test_how_much_is_short(table: Table) -> None:
    (message,) = of(table, one(film="opening: 4 s, battery: 1 min"), "battery")
    assert message.startswith("2 min")
    assert message.endswith("short")


COLD = """
    dish: D
    servings: 1
    film: {{opening: 4 s{film}}}
    ingredients: {{salt: 3 g, olive oil: 20 g}}
    steps:
      - {{id: fry, stage: cook, do: Fry it., add: olive oil, vessel: pan, heat: high, hands: 2 min}}
      - {{id: plate, stage: cook, do: Plate it., add: salt, vessel: plates, hands: 1 min}}
      - {{id: sauce, stage: cook, do: Stir the sauce., vessel: bowl, hands: {after} min}}
"""


@pytest.mark.parametrize(
    ("after", "film", "message"),
    [
        (4, "", ""),
        (9, "", "9 min pass from plating (D) to the beauty shot of it, 3 min over the 6 min"),
        (9, ", beauty_within: 10 min", ""),
        (9, ", heroes: 1", ""),
    ],
)
def test_a_beauty_shot_gone_cold(table: Table, after: int, film: str, message: str) -> None:
    text = COLD.format(after=after, film=film).replace("vessel: plates,", "vessel: plates, wait_at_most: 30 min,")
    assert of(table, text, "cold-beauty") == [message] * bool(message)


def test_what_allows_a_beauty_shot_gone_cold_can_be_copied(table: Table) -> None:
    text = COLD.format(after=8, film="").replace("hands: 8 min", "hands: 8 min 36 s")
    text = text.replace("vessel: plates,", "vessel: plates, wait_at_most: 30 min,")
    (cold,) = [p for p in told(table, text) if p.code == "cold-beauty"]
    assert "9 min pass" in cold.message
    assert "3 min over" in cold.message
    key = cold.hint.split("`film: {")[-1].split("}")[0]
    assert key.startswith("beauty_within: 9 min")
    assert of(table, text.replace("film: {", f"film: {{{key}, ", 1), "cold-beauty") == []


@pytest.mark.parametrize(
    ("hood", "heat", "shot", "count"),
    [
        ("true", "medium", "{of: salt, angle: overhead}", 1),
        ("false", "medium", "{of: salt, angle: overhead}", 0),
        ("true", '"off"', "{of: salt, angle: overhead}", 0),
        ("true", "medium", "{of: salt, angle: three-quarter, size: CU}", 0),
    ],
)
def test_the_hood_over_an_overhead_rig(table: Table, hood: str, heat: str, shot: str, count: int) -> None:
    more = f", heat: {heat}, shots: [{shot}, {{of: olive oil, angle: low, size: CU}}]"
    found = of(table, one(film=f"opening: 4 s, hood: {hood}", more=more), "under-the-hood")
    assert len(found) == count
    assert all("the hood is in the way of the overhead rig over the pan (shot 2A)" in m for m in found)


def test_a_dish_without_steps_has_nothing_to_say(table: Table) -> None:
    assert told(table, "dish: D\nservings: 1\ningredients: {salt: 3 g}") == []


GOODBYE = """
    dish: D
    servings: 1
    film: {{opening: 0 s, closing: 4 s}}
    {goodbye}
    ingredients: {{salt: 3 g, olive oil: 20 g}}
    steps: [{{stage: cook, do: Stir., add: [salt, olive oil], vessel: pan, hands: 1 min, screen: 9 s, sound: voice-over, say: Well.}}]
"""


def test_a_goodbye_longer_than_its_picture(table: Table) -> None:
    (own,) = [
        p for p in told(table, GOODBYE.format(goodbye=f"goodbye: {words(25)}")) if p.code == "line-too-long"
    ]  # 10 s
    assert own.severity == "warning"
    assert own.hint == "shorten `goodbye:`, or write `film: {closing: 10 s}`"
    (usual,) = [p for p in told(table, GOODBYE.format(goodbye="")) if p.code == "line-too-long"]
    assert (usual.severity, usual.hint) == ("note", "write a `goodbye:` of your own, or a longer `film:` `closing:`")


def test_of_a_file_without_lines_of_its_own_the_usual_goodbye_is_not_told(table: Table) -> None:
    text = GOODBYE.format(goodbye="").replace(", say: Well.", "")
    assert [p for p in told(table, text) if p.code == "line-too-long"] == []


def test_the_usual_last_words_have_time_in_the_usual_ending(table: Table) -> None:
    """Of each dish and of the plate: in ounces, and with a figure that is a bound, they are the longest."""
    dish = """
        dish: Prawn cups
        short: SHORT
        units: us
        servings: 4
        ingredients: {prawns: {amount: 1 lb 11 oz, food: "prawns, cooked"}, butter: {amount: 137 g, food: "butter, unsalted"}, sugar: 171 g}
        steps:
          - {stage: cook, do: Toss them., add: {prawns: all, butter: all, sugar: all}, vessel: bowl, hands: 4 min, screen: 10 s}
    """
    for name in ("first", "second"):
        table.write(f"{name}.yaml", dish.replace("SHORT", name).replace("Prawn", f"{name.capitalize()} prawn"))
    meal = "meal: Boathouse\nunits: us\nplates: 4\ndishes: [{dish: first.yaml, portion: 1 serving}, {dish: second.yaml, portion: 1 serving}]\n"
    script = Preproduction(table.meal(meal)).script
    endings = [p for p in script.passages if "net carbs" in p.text]
    assert len(endings) == 3 and all("at least" in p.text for p in endings)
    assert [(p.spoken_ms, p.segment.length_ms) for p in endings if p.spoken_ms > p.segment.length_ms] == []
