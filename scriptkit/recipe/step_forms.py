"""The shape of a dish's steps in a cook's file: what is done, what goes in, what is taken over, and how long it takes."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from scriptkit.recipe.each import each_as_text
from scriptkit.recipe.form_values import (
    AmountText,
    Answers,
    DurationText,
    EachForm,
    Form,
    Juices,
    Line,
    Name,
    Names,
    Prose,
    StepDoubtForm,
    TemperatureText,
)


def _each(value: Any, usual: str) -> Any:
    if isinstance(value, str):
        value = [value]
    if isinstance(value, list) and all(isinstance(name, str) for name in value):
        return dict.fromkeys(value, usual)
    return value


def _all_of_each(value: Any) -> Any:
    value = _each(value, "all")
    return {key: each_as_text(one) for key, one in value.items()} if isinstance(value, dict) else value


def _some_of_each(value: Any) -> Any:
    return _each(value, "some")


Additions = Annotated[
    dict[Name, AmountText],
    BeforeValidator(_all_of_each, json_schema_input_type=dict[str, AmountText | EachForm] | list[str] | str),
    Field(
        description="What goes in: `all`, `half`, `rest` or an amount, by ingredient; `{each: 1 tsp}` for each serving.",
        examples=[{"butter": "2 tbsp", "fennel": "all"}, {"olive oil": {"each": "1 tsp"}}],
    ),
]

TakenOver = Annotated[
    dict[Name, Name],
    BeforeValidator(_all_of_each, json_schema_input_type=dict[str, str] | list[str] | str),
    Field(
        default_factory=dict,
        max_length=50,
        description="The steps whose work goes on here, each with how much of it: `all`, `half`, `rest`, a weight or `juices`. "
        "A step of another dish of the meal is `Dish/step`.",
        examples=["marinate", {"make-sauce": "half", "Roast lamb/rest-lamb": "juices"}],
    ),
]
LeftBehind = Annotated[
    dict[Name, Name],
    BeforeValidator(_some_of_each, json_schema_input_type=dict[str, str] | list[str] | str),
    Field(
        max_length=100,
        description="What of the food that arrives here nobody eats, by ingredient: a share, a weight, or `some` where it was not "
        "weighed.",
        examples=[{"yoghurt": "60 %", "garlic": "some"}],
    ),
]

Method = Literal[
    "blend", "sear", "fry", "deep-fry", "sweat", "boil", "simmer", "braise", "roast", "bake", "grill", "steam", "poach",
    "rest", "chill", "mix", "plate", "cut",
]  # fmt: skip


class ShotForm(Form):
    """One picture of a step, in place of those that are planned for it by default."""

    of: Names = Field(default_factory=list, description="The ingredients whose addition it shows.")
    picture: Line = Field("", description="What is seen, where the step's words do not say it.")
    kind: Line = Field(
        "", description="overhead, hands and pans, close-up, insert, pour, sizzle, steam, texture test, …"
    )
    size: Literal["", "WS", "MS", "MCU", "CU", "ECU", "OH"] = Field(
        "", description="WS wide, MS medium, MCU medium close-up, CU close-up, ECU extreme close-up, OH overhead."
    )
    angle: Line = Field("", description="overhead, three-quarter, eye level, low.")
    move: Line = Field("", description="static, pan, tilt, slow push in, …")
    sound: Literal["", "sync", "voice-over", "mos"] = ""
    screen: DurationText | None = Field(None, description="Seconds in the cut; left out: a share of the step's.")
    irreversible: bool | None = None


class StepForm(Form):
    """One step: what is done, what goes in, and how long hands, food and picture take."""

    id: Name | None = Field(None, description="A short name to point at; left out: step-1, step-2 …")
    stage: Literal["prep", "cook"] = Field(
        description="`prep` before the heat is on, `cook` from then.", examples=["cook"]
    )
    do: Prose = Field(
        min_length=1, description="What the cook does, in a sentence.", examples=["Soften the leek in the butter."]
    )
    uses: Names = Field(
        default_factory=list, description="Ingredients handled in this step without going into a vessel."
    )
    add: Additions = Field(default_factory=dict)
    __annotations__["from"] = TakenOver  # the file's key, which Python has no name for
    left_behind: LeftBehind = Field(default_factory=dict)
    method: Method | None = Field(None, description="The cooking method, where the words of `do` do not tell it.")
    vessel: Line = Field("", description="The pot, pan, bowl or jug.", examples=["stock pot"])
    tools: Names = Field(default_factory=list, description="What else must lie ready.")
    heat: Line = Field("", description="The heat under it.", examples=["medium", "high", "off", "oven 200 °C"])
    core: TemperatureText | None = Field(None, description="Temperature inside the food when it is done.")
    juices: Juices = Field(None, description="Whether what runs out here is eaten; left out: by the method.")
    hands: DurationText | None = Field(None, description="Time the cook is busy.")
    wait: DurationText | None = Field(None, description="Time the food needs without the cook.")
    wait_at_most: DurationText | None = Field(
        None,
        description="The longest it may stand before the next step: a rest with its limit, a pan that can be held.",
    )
    keeps: DurationText | None = Field(
        None, description="How long what is made here may be kept before the next step, on top of its own time."
    )
    after: Names = Field(
        default_factory=list,
        description="Ids of the steps it waits for, where neither `from:` nor the cook step before it says so.",
    )
    screen: DurationText | None = Field(None, description="Seconds this step gets in the cut.")
    chapter: Line = Field("", description="Its name among the video's chapters, where its words make no good one.")
    sound: Literal["sync", "voice-over", "mos"] = Field(
        "voice-over",
        description="`sync`: spoken to camera; `voice-over`: recorded later; `mos`: picture without sound.",
    )
    answered: Answers = Field(default_factory=dict)
    say: Prose = Field("", description="The narration; `{butter}` becomes the amount that goes in at this step.")
    shots: list[ShotForm] = Field(
        default_factory=list, max_length=60, description="Its pictures, where the usual ones are not wanted."
    )
    unfilmed: Names = Field(
        default_factory=list,
        description="Of `add:`, what was not filmed going in: the overlay then says that it is in the pan too.",
    )
    unsure: StepDoubtForm | None = Field(
        None, description="That what is done is a guess; delete it when it is right. Until then nothing is published."
    )
    swap_out: bool | None = Field(
        None,
        description="Whether the dish is made a second time, ahead, to the end of this step, and bought for. Left out: only where `film:` `swap_out_over:` asks for it, by the length of the wait.",
    )
    irreversible: bool | None = Field(
        None,
        description="Whether what is done can be filmed only once. Left out: true of a sear or a blend. An addition always is.",
    )
