"""The shape of the files a cook writes: pydantic models, and the JSON Schema that editors complete from.

Amounts, durations and temperatures are text here; ``build`` reads them, so that each can be answered in kitchen words.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, Field, FiniteFloat

from scriptkit.recipe.each import each_as_text
from scriptkit.recipe.form_values import (
    AmountText,
    Answers,
    Count,
    DoubtForm,
    DurationText,
    Eaters,
    Figure,
    Form,
    Juices,
    Line,
    MacroName,
    Measures,
    Name,
    Names,
    PartText,
    Prose,
    PublishedFiguresForm,
    Servings,
    ServingsDoubtForm,
    Units,
    VolumeText,
    WeightText,
)
from scriptkit.recipe.step_forms import ShotForm, StepForm  # noqa: F401  the schema finds every form here


def _amount_alone(value: Any) -> Any:
    each = each_as_text({"each": value["each"]}) if isinstance(value, dict) and "each" in value else None
    if isinstance(each, str) and "amount" in value:
        raise ValueError("each_and_amount")
    if isinstance(each, str):
        return {"amount": each, **{key: of for key, of in value.items() if key != "each"}}
    return {"amount": value} if isinstance(value, str) else value


def _each_or_amount(schema: dict[str, Any]) -> None:
    """In the schema, `each:` stands in the place of `amount:`."""
    schema.pop("required")
    schema["anyOf"] = [{"required": ["amount"]}, {"required": ["each"]}]


class IngredientForm(Form):
    """One ingredient of the dish. A bare amount (`butter: 30 g`) is short for `{amount: 30 g}`."""

    model_config = ConfigDict(json_schema_extra=_each_or_amount)
    amount: AmountText = Field(description="How much in all, or `to taste`.")
    each: AmountText | None = Field(
        None, description="How much for each serving, in place of `amount`.", examples=["1 tsp", "1 slice"]
    )
    food: Name | None = Field(None, description="The pantry's name of the food, where the key alone does not tell it.")
    dish: Name | None = Field(
        None, description="A dish file that this is a part of, from this file's folder.", examples=["fish-stock.yaml"]
    )
    prep: Line = Field("", description="How it is cut or got ready, with millimetres.", examples=["dice, 15 mm"])
    measured_as: Line = Field("", description="The state in which cups were filled, where it differs from `prep`.")
    allergens: Names | None = Field(
        None,
        description="What the label of your make says that it contains, or `none`: then it no longer depends on the make.",
        examples=[["mustard"], "none"],
    )
    pack: AmountText | None = Field(None, description="What it is sold in, for buying.", examples=["250 g", "1 bunch"])
    bought: Literal["ready", "whole"] = Field(
        "ready", description="`whole`: the weight is as bought, and the pantry's refuse share comes off."
    )
    left_in_pan: PartText | None = Field(None, description="What of it stays in the pan and is not eaten.")
    strained_out: PartText | None = Field(None, description="What of it is strained out or thrown away after cooking.")
    weighed: WeightText | None = Field(
        None,
        description="What it weighed when it went in, trimmed, with the bones that are still on it: counts in place of the amount.",
    )
    juices: Juices = Field(None, description="Of what runs out of it when it is cooked; left out: by the method.")
    between: Annotated[list[AmountText], Field(min_length=2, max_length=2)] | None = Field(
        None,
        description="The least and the most that it may be, where `amount:` is one of a range: figures are then a range too.",
        examples=[["2", "3"]],
    )
    optional: bool = Field(
        False, description="Whether the recipe also works without it; it is counted, and the papers say so."
    )
    unsure: DoubtForm | None = Field(None, description="What of it is a guess, until a person deletes this key.")
    made_ahead: bool = Field(
        False, description="Of a dish that is an ingredient: it stands ready, and its steps are not part of this day."
    )


Ingredient = Annotated[
    IngredientForm, BeforeValidator(_amount_alone, json_schema_input_type=IngredientForm | AmountText)
]


class LabelForm(Form):
    """A food that the pantry lacks, as on its label. What the label does not say stays unknown."""

    per: WeightText = Field("100 g", description="The weight that the figures are for: 100 g, or the serving's weight.")
    basis: Literal["us", "eu"] = Field(description="`us`: carbohydrate includes fibre; `eu`: it does not.")
    energy_kcal: Figure | None = None
    fat_g: Figure | None = None
    saturated_g: Figure | None = None
    protein_g: Figure | None = None
    carbohydrate_g: Figure | None = None
    fibre_g: Figure | None = None
    sugars_g: Figure | None = None
    polyols_g: Figure | None = Field(None, description="All polyols; those named by kind are among them.")
    erythritol_g: Figure | None = None
    xylitol_g: Figure | None = None
    maltitol_g: Figure | None = None
    sorbitol_g: Figure | None = None
    isomalt_g: Figure | None = None
    lactitol_g: Figure | None = None
    mannitol_g: Figure | None = None
    allulose_g: Figure | None = Field(None, description="Part of the carbohydrate, and no polyol.")
    alcohol_g: Figure | None = None
    sodium_mg: Figure | None = None
    salt_g: Figure | None = Field(None, description="A European label prints salt; sodium = salt ÷ 2.5.")
    household: dict[Name, WeightText] = Field(
        default_factory=dict, description="Household weights.", examples=[{"cup": "120 g", "cup, chopped": "90 g"}]
    )
    refuse_percent: Annotated[FiniteFloat, Field(ge=0, lt=100)] | None = None
    synonyms: Names = Field(default_factory=list)
    category: Line = "own"
    allergens: Names | None = Field(
        None,
        description="What its label says that it contains, or `none`. Left out: not known, and never taken for none.",
        examples=[["wheat", "milk"], "none"],
    )
    may_contain: Names = Field(default_factory=list, description="What its label says that it may contain.")
    safety: Literal["", "whole-cut", "ground-meat", "poultry", "fish", "shellfish", "egg", "ham-cooked"] = ""


class KitchenForm(Form):
    """The kitchen that it is cooked and filmed in."""

    jug: VolumeText = Field("1.5 l", description="Volume of the blender jug.")
    jug_fill: Annotated[FiniteFloat, Field(ge=0.05, le=1)] = Field(
        1 / 3, description="Share of the jug that hot liquid may fill."
    )
    cooks: Annotated[int, Field(ge=1, le=20)] = Field(1, description="How many people cook.")
    attended: Annotated[int, Field(ge=1, le=4)] = Field(1, description="Tasks that one cook can attend to at a time.")
    burners: Annotated[int, Field(ge=0, le=40)] = 4
    ovens: Annotated[int, Field(ge=0, le=20)] = 1
    vessels: dict[Name, Annotated[int, Field(ge=1, le=50)]] = Field(
        default_factory=dict,
        description="How many there are of a vessel; 1 where it is not named.",
        examples=[{"frying pan": 2}],
    )
    preheat: DurationText = Field("15 min", description="What the oven needs to get hot.")
    landing: DurationText = Field(
        "3 min",
        description="How far apart the dishes may be ready; left out, 2 min more for each dish after the second.",
    )
    filming: DurationText = Field("1 min", description="What filming adds to each addition: handles, reset, wipe.")


class FilmForm(Form):
    """How the cut is planned."""

    opening: DurationText = Field("10 s", description="The finished dish and the promise, before the first step.")
    closing: DurationText = Field(
        "26 s",
        description="Plating, beauty and first bite: where the macro cards stand; left out, shorter for a short recipe.",
    )
    reading_rate: Annotated[FiniteFloat, Field(ge=60, le=300)] = Field(
        150, description="The presenter's own words a minute."
    )
    longest_silence: DurationText = Field("12 s", description="Longer without narration gives a warning.")
    swap_out_over: DurationText | None = Field(
        None,
        description="A wait longer than this is skipped: the dish is made a second time, ahead, up to there.",
        examples=["15 min"],
    )
    heroes: Annotated[int, Field(ge=0, le=10)] = Field(0, description="Dishes made only for the beauty shots.")
    safety_takes: Annotated[int, Field(ge=0, le=10)] = Field(0, description="Whole extra cooks bought for.")
    handles: DurationText = Field("4 s", description="Recorded before and after each shot.")
    takes: Annotated[FiniteFloat, Field(ge=1, le=20)] = Field(2, description="Takes of a repeatable shot, on average.")
    battery: DurationText | None = Field(None, description="What the camera's charged batteries last in all.")
    card_gb: Annotated[FiniteFloat, Field(gt=0, le=100_000)] | None = Field(
        None, description="Space on the cards, in GB."
    )
    bitrate_mbit: Annotated[FiniteFloat, Field(gt=0, le=10_000)] | None = Field(
        None, description="Mb/s of the recording."
    )
    daylight: DurationText | None = Field(None, description="How long the window's light lasts.")
    beauty_within: DurationText = Field(
        "6 min", description="How soon after plating the beauty shot of the dish begins."
    )
    hood: bool = Field(False, description="A hood hangs over the hob: no overhead rig there.")
    lights: Literal["", "mains", "battery", "daylight"] = Field(
        "", description="What it is lit with; mains lights in a kitchen have their own caution."
    )
    frame_rate: Literal["23.976", "24", "25", "29.97", "29.97 drop", "30", "50", "59.94", "60"] = "25"


Address = Annotated[str, Field(max_length=1000)]


class LinkForm(Form):
    """A link of the description."""

    to: Address = Field(min_length=1, description="The web address.", examples=["https://example.org/stock"])
    text: Line = Field("", description="What it leads to.", examples=["The stock that it starts with"])


class VideoForm(Form):
    """What is known of the published video; what is left out is printed nowhere."""

    url: Address = Field("", description="Where it can be watched.")
    uploaded: Line = Field("", description="The day it was published.", examples=["2026-05-01"])
    picture: Address = Field("", description="The web address of a picture of the finished dish.")


def _text_alone(value: Any) -> Any:
    return {"text": value} if isinstance(value, str) else value


class CorrectionForm(Form):
    """Something that the video says or shows wrongly, for the pinned comment. A bare text is short for `{text: …}`."""

    text: Prose = Field(min_length=1, description="What is right.", examples=["It is 20 g of mustard, not 30 g."])
    at: Line = Field("", description="The moment of the video that is wrong.", examples=["2:05"])
    only: Literal["", "overlay", "description"] = Field(
        "", description="`overlay`: only over the picture; `description`: only under the video; left out: both."
    )


Links = Annotated[list[LinkForm], Field(max_length=50)]
Corrections = Annotated[
    list[Annotated[CorrectionForm, BeforeValidator(_text_alone, json_schema_input_type=CorrectionForm | str)]],
    Field(max_length=50),
]


class PublishedForm(Form):
    """What goes with the video."""

    served: Line = Field("", description="How it is served.", examples=["hot", "cold, straight from the fridge"])
    author: Line = Field("", description="Who made the recipe, as a search engine is told.")
    links: Links = Field(default_factory=list, description="Related dishes and videos, for the description.")
    video: VideoForm = Field(default_factory=lambda: VideoForm.model_validate({}))
    corrections: Corrections = Field(default_factory=list, description="What the video says wrongly.")
    __annotations__["for"] = Eaters  # the file's key, which Python has no name for


class DishForm(PublishedForm):
    """A dish."""

    dish: Name = Field(description="Its name.")
    short: Line = Field(
        "", description="A short name for the overlay, where the name fills a line.", examples=["bisque"]
    )
    promise: Prose = Field("", description="What the opening says that the viewer will have at the end.")
    goodbye: Prose = Field(
        "{macros}", description="What is said over the finished dish; `{macros}` becomes its figures, as on the card."
    )
    servings: Servings = Field(description="How many it serves.", examples=["4"])
    unsure: ServingsDoubtForm | None = Field(
        None, description="That `servings:` is a guess, until a person deletes this key."
    )
    as_published: PublishedFiguresForm | None = Field(
        None,
        description="What the source of the recipe prints of a serving; `check` says where ours are over 15 % off.",
        examples=[{"energy_kcal": 480, "fat_g": 21}],
    )
    serving: AmountText | None = Field(
        None, description="A serving's weight, or its volume where cooked_volume is given."
    )
    cooked_weight: WeightText | None = Field(
        None,
        description="The pot on the scale less the empty pot; `1.2 kg with bones` or `without bones` where food went in on the bone. Left out: estimated, and marked as estimated everywhere.",
    )
    cooked_volume: VolumeText | None = Field(None, description="The batch in the measuring jug.")
    keeps: DurationText | None = Field(None, description="How long it may be kept hot before it is served.")
    made_ahead: bool = Field(
        False,
        description="Made before the day: where another dish or a meal takes it, its steps are not filmed again.",
    )
    left_in_pan: dict[Name, Ingredient] = Field(
        default_factory=dict,
        max_length=20,
        description="What comes out of the food and is not eaten, weighed.",
        examples=[{"drippings": {"amount": "12 g", "food": "dripping"}}],
    )
    cups: Literal["us", "metric", "australian"] = "us"
    units: Units = None
    kitchen: KitchenForm = Field(default_factory=lambda: KitchenForm.model_validate({}))
    film: FilmForm = Field(default_factory=lambda: FilmForm.model_validate({}))
    answered: Answers = Field(default_factory=dict)
    ingredients: dict[Name, Ingredient] = Field(min_length=1, max_length=200)
    steps: list[StepForm] = Field(default_factory=list, max_length=300)
    measures: Measures = Field(default_factory=dict)
    foods: dict[Name, LabelForm] = Field(default_factory=dict, max_length=200)


class PantryForm(Form):
    """A `pantry.yaml`: a cook's own foods, for every dish beside it."""

    cups: Literal["us", "metric", "australian"] = Field("us", description="The cups and spoons of `household:`.")
    units: Units = None
    measures: Measures = Field(default_factory=dict)
    foods: dict[Name, LabelForm] = Field(default_factory=dict, max_length=2000)


class PortionForm(Form):
    """A dish on the plate."""

    dish: Name = Field(description="The dish's file, from the meal's folder.", examples=["bisque.yaml"])
    portion: AmountText = Field(
        "1 serving",
        description="Servings, a weight, a measure of the batch, or pieces of it.",
        examples=["1 serving", "180 g", "1 cup", "1 chop"],
    )
    made_ahead: bool = Field(False, description="It was made before the day: its steps are not part of it.")
    raw: WeightText | None = Field(None, description="Instead of a portion: the raw weight of the one piece.")
    cooked_share: Annotated[FiniteFloat, Field(ge=0.2, le=2)] | None = Field(
        None, description="What of the raw piece is left cooked; left out: as of the batch."
    )
    step: AmountText | None = Field(
        None,
        description="The steps that it can be served in; left out: 10 g.",
        examples=["20 g", "1/4 cup", "1/2 serving", "1/2 chop"],
    )
    least: AmountText | None = Field(
        None, description="The smallest portion that makes sense.", examples=["100 g", "1/2 serving"]
    )
    most: AmountText | None = Field(
        None, description="The largest portion that makes sense.", examples=["400 g", "2 cups"]
    )
    poured_over: dict[Name, Ingredient] = Field(
        default_factory=dict,
        max_length=20,
        description="Drippings or sauce poured over this portion, for one plate; what the dish lists goes by its name there.",
    )


class OnlyMealForm(Form):
    """The same pot as the only meal of the day: its own limits, and portions nearest to the usual ones that keep them."""

    at_most: dict[MacroName, Figure] = Field(default_factory=dict, description="Limits of the one plate of the day.")
    at_least: dict[MacroName, Figure] = Field(default_factory=dict, description="Limits of the one plate of the day.")


class MealForm(PublishedForm):
    """Dishes that are served together."""

    meal: Name = Field(description="Its name.")
    promise: Prose = ""
    goodbye: Prose = Field("{macros}", description="What is said over the whole plate, with its `{macros}`.")
    plates: Count = Field(1, description="How many plates are served.")
    dishes: list[PortionForm] = Field(min_length=1, max_length=30)
    at_most: dict[MacroName, Figure] = Field(default_factory=dict, description="Limits of one plate.")
    at_least: dict[MacroName, Figure] = Field(default_factory=dict, description="Limits of one plate.")
    at_table: dict[Name, Ingredient] = Field(
        default_factory=dict,
        max_length=20,
        description="What goes on one plate at the table: garnish, a wedge of lemon.",
    )
    units: Units = None
    measures: Measures = Field(default_factory=dict)
    only_meal: OnlyMealForm | None = None
    kitchen: KitchenForm = Field(default_factory=lambda: KitchenForm.model_validate({}))
    film: FilmForm = Field(default_factory=lambda: FilmForm.model_validate({}))


FORMS: dict[str, type[Form]] = {"dish": DishForm, "meal": MealForm, "pantry": PantryForm}
