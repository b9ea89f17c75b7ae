"""What stands in the forms: the kinds of text and figure that a cook writes, each with its bounds and its description."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, FiniteFloat, WithJsonSchema

Line = Annotated[str, Field(max_length=400)]
Prose = Annotated[str, Field(max_length=4000)]
Name = Annotated[str, Field(min_length=1, max_length=120)]
Servings = Annotated[FiniteFloat, Field(ge=0.1, le=10_000)]
Figure = Annotated[FiniteFloat, Field(ge=0, le=100_000)]
Count = Annotated[int, Field(ge=1, le=1000)]

AmountText = Annotated[
    Name,
    Field(description="A number and a unit.", examples=["30 g", "1 1/2 tbsp", "½ cup", "2 medium", "to taste"]),
    WithJsonSchema(
        {"type": ["string", "number"], "minLength": 1, "maxLength": 120}
    ),  # `eggs: 3` is a number to an editor
]
WeightText = Annotated[Name, Field(description="A weight.", examples=["1.95 kg", "320 g", "12 oz"])]
VolumeText = Annotated[Name, Field(description="A volume.", examples=["1.5 l", "6 cups"])]
PartText = Annotated[Name, Field(description="A weight or a share.", examples=["8 g", "25 %", "half", "all"])]
DurationText = Annotated[Name, Field(description="A length of time.", examples=["12 s", "7 min", "1 h 30 min"])]
TemperatureText = Annotated[Name, Field(description="A temperature with its scale.", examples=["63 °C", "145 °F"])]


class Form(BaseModel):
    """A mapping in a cook's file. A key that it does not know is a problem, never ignored."""

    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True, coerce_numbers_to_str=True, frozen=True)


class EachForm(Form):
    """An amount for each serving."""

    each: AmountText = Field(description="How much for each serving; the batch takes as many times as much.")


def _one_or_many(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


Names = Annotated[
    list[Name], Field(max_length=100), BeforeValidator(_one_or_many, json_schema_input_type=list[str] | str)
]

Eater = Literal["infant", "toddler", "pregnant", "older", "no alcohol"]
Eaters = Annotated[
    list[Eater],
    BeforeValidator(_one_or_many, json_schema_input_type=list[Eater] | Eater),
    Field(
        default_factory=list,
        max_length=5,
        description="Who eats it, where that asks for more care: an infant is under one year, a toddler under five.",
        examples=[["toddler", "pregnant"]],
    ),
]

Reason = Annotated[str, Field(min_length=1, max_length=400)]
Answers = Annotated[
    dict[Name, Reason],
    Field(
        max_length=100,
        description="Cautions that are not shown, by the id of their rule, each with the reason; the papers print it.",
        examples=[{"searing": "said in the narration"}],
    ),
]

Confidence = Annotated[FiniteFloat, Field(ge=0, le=1)]


class DoubtForm(Form):
    """What of an ingredient is a guess that nobody has confirmed. Deleting the key confirms it."""

    food: Confidence | None = Field(
        None,
        description="How sure it is which food is meant: 0 not at all, 1 certain. Left out: not in doubt.",
        examples=[0.27],
    )
    amount: Confidence | None = Field(None, description="How sure the amount is, from 0 to 1.", examples=[0.5])
    form: Confidence | None = Field(
        None, description="How sure it is in which form it is meant (raw, cooked, dried), from 0 to 1.", examples=[0.4]
    )
    read_from: Line = Field("", description="The words that it was read from.", examples=["4 ice cubes"])
    candidates: Names = Field(
        default_factory=list, description="Other foods that may be meant, likeliest first.", examples=[["ice", "water"]]
    )


class ServingsDoubtForm(Form):
    """That the number of servings is a guess which nobody has confirmed. Deleting the key confirms it."""

    servings: Confidence = Field(
        description="How sure it is how many it serves: 0 not at all, 1 certain.", examples=[0.4]
    )
    read_from: Line = Field("", description="The words that it was read from.", examples=["Makes 2 loaves"])


class StepDoubtForm(Form):
    """That what a step does is a guess which nobody has confirmed. Deleting the key confirms it."""

    do: Confidence = Field(description="How sure it is what is done: 0 not at all, 1 certain.", examples=[0])
    read_from: Line = Field("", description="The words that it was read from.", examples=["Cod with leeks"])


class PublishedFiguresForm(Form):
    """What the source of a recipe prints of a serving. Ours are held against it."""

    energy_kcal: Figure | None = Field(None, description="Energy of a serving, in kcal.")
    fat_g: Figure | None = Field(None, description="Fat of a serving, in grams.")
    protein_g: Figure | None = Field(None, description="Protein of a serving, in grams.")
    carbohydrate_g: Figure | None = Field(None, description="Carbohydrate of a serving, fibre included, in grams.")
    fibre_g: Figure | None = Field(None, description="Fibre of a serving, in grams.")


Units = Annotated[
    Literal["us", "metric"] | None,
    Field(
        description="Which units come first on every page, caption and card: ounces and Fahrenheit, or grams and Celsius. An amount written by volume stays a volume."
    ),
]
Measures = Annotated[
    dict[Name, AmountText],
    Field(
        max_length=100,
        description="The kitchen's own measures: what one of each holds, for wherever an amount is written.",
        examples=[{"ladle": "80 ml", "scoop": "30 g"}],
    ),
]

Juices = Literal["kept", "poured off"] | None

MacroName = Literal[
    "energy_kcal", "fat_g", "saturated_g", "protein_g", "carbohydrate_g", "fibre_g", "sugars_g", "net_carbs_g",
    "alcohol_g", "sodium_mg", "weight_g", "fat_to_protein_and_net_carbs", "fat_to_net_carbs", "fat_energy_percent",
    "protein_energy_percent", "net_carbs_energy_percent",
]  # fmt: skip
