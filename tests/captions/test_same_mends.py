"""What is said on purpose is never mended, and what is misheard is mended alike by `proof --mend` and in the dialogue captions."""

from __future__ import annotations

import functools
import re
from pathlib import Path

import pytest

from scriptkit.captions.dialogue.spoken_dialogue import dialogue_of
from scriptkit.captions.dialogue.timed_words import timed_words
from scriptkit.captions.proofing.misheard import due_in, mended, misheard_places, words_of_dishes
from scriptkit.cut.coverage.off_camera_text import missing_text
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.production import Production, read, read_text
from scriptkit.timed_text.reading import parse_captions

DISH = """
dish: Paprika chicken
servings: 4
ingredients:
  chicken: {amount: 720 g, food: "chicken thigh, boneless, skinless"}
  yoghurt: {amount: 150 g, food: "yoghurt, greek"}
  garlic: {amount: 3 cloves, prep: grated}
  smoked paprika: {amount: 2 tsp, food: paprika}
  cumin: {amount: 1 tsp, food: "cumin, ground"}
  tahini: 80 g
  lemon juice: 3 tbsp
  parsley: {amount: 40 g, prep: chopped}
  cauliflower: 500 g
  coriander: {amount: 15 g, food: "coriander leaf", prep: chopped}
steps:
  - {id: marinate, stage: prep, do: "Marinate the chicken in the yoghurt, the garlic, the paprika and the cumin.", vessel: mixing bowl, wait: 45 min,
     add: {yoghurt: all, garlic: 2 cloves, smoked paprika: all, cumin: all, chicken: all},
     say: "{yoghurt} of Greek yoghurt, two cloves of garlic, {smoked paprika} of smoked paprika and {cumin} of cumin."}
  - {id: crumb, stage: prep, do: Chop the parsley and the cauliflower., uses: [parsley, cauliflower], say: The parsley and the cauliflower.}
  - {id: sauce, stage: cook, do: Whisk the tahini with the lemon juice and the last garlic., vessel: small bowl, tools: [whisk],
     add: {tahini: all, lemon juice: all, garlic: rest}, say: "The sauce. {tahini} of tahini, {lemon juice} of lemon juice."}
  - {id: plate, stage: cook, do: "Plate the chicken with the sauce, the cauliflower, the parsley and the coriander.", vessel: plates,
     add: {coriander: all, parsley: all, cauliflower: all}, say: "The sauce first, then {coriander} of coriander."}
"""


@functools.cache
def chicken() -> Production:
    return read_text(DISH, "chicken.yaml")


def srt(said: str) -> str:
    return "".join(
        f"{n + 1}\n00:00:{4 * n:02},000 --> 00:00:{4 * n + 3:02},990\n{line}\n\n"
        for n, line in enumerate(said.split("|"))
    )


def by_proof(said: str) -> str:
    dishes = chicken().dishes
    file = parse_captions(srt(said), "talk.srt")
    done, _ = mended(file, misheard_places(file, words_of_dishes(dishes), due_in(dishes)))
    return " ".join(" ".join(cue.text.split()) for cue in done.cues)


def by_captions(said: str) -> str:
    of = chicken()
    heard = timed_words(read_transcript(srt(said).encode(), "talk.srt").lines)
    return " ".join(
        line for c in dialogue_of(of.script, heard, of.room, due=due_in(of.dishes)).cues for line in c.lines
    )


ON_PURPOSE = [
    "I've run out of lemons, so it's lime juice instead of the lemon juice, the same again.",
    "So it's lime juice instead of the lemon juice in this one.",
    "In goes the lime juice rather than lemon juice today.",
    "I squeezed lime juice in place of the lemon juice.",
    "Instead of the lemon juice I have lime juice in here.",
    "It is lime juice, not the lemon juice from the card.",
    "We stirred in lime juice here, and the lemon juice stays in the fridge.",
    "Sunflower seed butter instead of the tahini, because she is allergic.",
    "And here I use coriander seeds rather than the coriander leaf.",
    "A good spoon of Greek yoghurt goes in the bowl.",
    "So a lot of grams of Greek yoghurt into the bowl.",
    "Boneless chicken thigh is what you want, skinless chicken too.",
    "Ground cumin, and the leaf of the coriander.",
    "Right, wipe off what clings and throw that marinade away.",
    "Put the marinade aside, and pour that marinade off now.",
    "Wash the marinade off and leave the tahini out in the warm.",
]


@pytest.mark.parametrize("said", ON_PURPOSE)
def test_what_is_said_on_purpose_stays(said: str) -> None:
    assert by_proof(said) == said
    assert by_captions(said).replace("_", "").split() == said.split()


MISHEARD = [
    ("Now the herbs. Forty grams of partly, and a sharp knife.", "grams of parsley, and"),
    ("Then two teaspoons of smoked pap rica, and then a teaspoon of coming.", "smoked paprika, and then a teaspoon of cumin."),
    ("While that sits, the collie flower. We pulse it.", "the cauliflower. We pulse"),
    ("So it was eighty grams of to heenie in a small bowl.", "grams of tahini in a"),
    ("And last of all fifteen grams of corey ander over the chicken.", "grams of coriander over"),
    ("There are forty grams of partly in it|and that is all there is.", "grams of parsley in it and that"),
    ("I put it in the house with pass lee and sea salt.", ""),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), MISHEARD)
def test_what_is_misheard_is_mended_alike(said: str, meant: str) -> None:
    assert meant in by_proof(said)
    figures = {"forty": "40", "Forty": "Forty", "eighty": "80", "fifteen": "15", "two": "2"}
    one, other = by_proof(said).split(), by_captions(said).split()
    assert [figures.get(w.strip(",."), w.strip(",.")) for w in one] == [
        figures.get(w.strip(",."), w.strip(",.")) for w in other
    ]


def test_a_pan_of_something_is_no_bain_marie() -> None:
    dish = (
        DISH.replace("chicken:", "mackerel:", 1)
        .replace('"chicken thigh, boneless, skinless"', "mackerel")
        .replace("small bowl", "pan")
    )
    dishes = read_text(
        dish.replace("chicken: all", "mackerel: all").replace("the chicken", "the mackerel"), "fish.yaml"
    ).dishes
    file = parse_captions(srt("A pan of macro with tahini.|It is a bowl of cherries."), "talk.srt")
    places = misheard_places(file, words_of_dishes(dishes), due_in(dishes))
    assert [(p.heard, p.meant) for p in places] == [("macro", "mackerel")]


def test_a_sentence_never_comes_to_name_one_food_twice() -> None:
    said = "I forgot the corey ander completely the coriander never went in"
    dishes = chicken().dishes
    file = parse_captions(srt(said), "talk.srt")
    places = misheard_places(file, words_of_dishes(dishes), due_in(dishes))
    assert [(p.meant, p.exact) for p in places] == [("coriander", False)]
    assert by_proof(said) == said
    assert by_captions(said).count("coriander") == 1


@pytest.mark.parametrize(
    ("stand_in", "text"), [("walnuts", "Here walnuts replace"), ("lime juice", "Here lime juice replaces")]
)
def test_several_replace_and_one_replaces(stand_in: str, text: str) -> None:
    dish = chicken().dishes[0]
    step = next(s for s in dish.steps if s.additions)
    assert missing_text(step, step.additions[0], "instead", stand_in).startswith(f"{text} ")


def test_answers_reach_what_viewers_see(tmp_path: Path) -> None:
    """A confession that the cook says is none is told by none of the commands that make what viewers see."""
    recipe, cut, answers = tmp_path / "chicken.yaml", tmp_path / "talk.srt", tmp_path / "answers.csv"
    recipe.write_text(DISH, encoding="utf-8")
    cut.write_text(
        srt(
            "The sauce. Eighty grams of tahini, three tablespoons of lemon juice.|Whisk it in the small bowl.|Then fifteen grams of coriander.|I used vinegar instead of the lemon juice.|Oh, and I left the parsley out completely."
        ),
        encoding="utf-8",
    )
    told = [p for p in read(recipe, cut=cut).said_wrongly if p.code.startswith("said-")]
    assert told
    rows = [f"Paprika chicken,{at},not so" for p in told for at in re.findall(r"--accept (\S+)`", p.hint)]
    answers.write_text("\n".join(["title,gap,answer", *rows]), encoding="utf-8")
    assert not [p for p in read(recipe, cut=cut, answers=(answers,)).said_wrongly if p.code.startswith("said-")]
