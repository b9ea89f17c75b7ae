"""What of a dish file only a person can tell, as questions: the one first that moves the figures or an allergen most. An answer is a change
of the file's text that keeps its comments and its order."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from scriptkit.measure.amounts import Kind, NotAnAmount, parse_amount
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import CannotDo, Place, Severity, any_of, error
from scriptkit.production import read_text
from scriptkit.recipe.dish import Dish, Ingredient, Step
from scriptkit.recipe.doubt import SERVINGS, step_title
from scriptkit.recipe.file_edit import Add, Delete, Edit, Put, edited
from scriptkit.recipe.tray import goes_in, is_tray
from scriptkit.recipe.yamltree import Path, parse_tree

FIGURES = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g")
"""What is asked of a label, per 100 g."""
_ALLERGEN_COUNTS = 500.0
_NET_CARBS_COUNT = 10.0
"""How many kilocalories a serving an allergen that comes or goes, and a gram of net carbs, are worth in the order of questions."""
SIZES = ("small", "medium", "large", "extra large")
_CANDIDATES = 3
_WORDS_OF_A_STEP = 70
"""As many letters of a step as tell which it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerChoice:
    """One answer that can be picked: its ``words``, the changes that it makes, and what a serving then has at least; None where
    the file cannot be computed with it. ``allergens``: of both lists."""

    words: str
    edits: tuple[Edit, ...]
    energy_kcal: float | None = None
    net_carbs_g: float | None = None
    allergens: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """``id`` names it in a file of answers: what is asked, and the ingredient. ``asks`` is food, amount, form, size, label, servings, step or
    goes-in (at which step);
    ``moves`` is by how many kilocalories a serving its choices differ, with net carbs and allergens weighed in."""

    id: str
    asks: str
    ingredient: str
    words: str
    read_from: str
    choices: tuple[AnswerChoice, ...]
    moves: float
    place: Place


class Asked:
    """The questions of one dish file's text. Without ``effects`` nothing is computed of what an answer would change."""

    def __init__(self, text: str, file: str, *, effects: bool = True) -> None:
        self.text, self.file, self._effects = text, file, effects
        self.production = read_text(text, file)
        source = self.production.reading.source
        if not isinstance(source, Dish):
            message, hint = "this is a meal, not a dish", "name one of its dishes: each is confirmed in its own file"
            raise CannotDo([error(Place(file), "not-a-dish", message, hint)], self.production.files)
        self.dish = source
        self.data: Mapping[str, Any] = parse_tree(text.removeprefix("\ufeff"), file).data or {}

    def questions(self) -> tuple[Question, ...]:
        """All of them: how many it serves first, for every figure of a serving hangs on it; then the one that moves most."""
        found = list(self._all())
        return tuple(sorted(found, key=lambda q: (q.asks != "servings", -q.moves)))

    def _all(self) -> Iterator[Question]:
        if self.dish.doubt is not None:
            choice = self._choice(f"{self.dish.servings:g}", [Delete(("unsure",))])
            yield self._question(
                SERVINGS,
                "servings",
                "How many does it serve?",
                self.dish.doubt.read_from,
                [choice],
                self.dish.doubt.place,
            )
        for ingredient in self.dish.ingredients:
            yield from self._of(ingredient)
        for step in self.dish.steps:
            if step.doubt is not None and is_tray(step.id) and step.uses:
                yield from self._of_tray(step)
            elif step.doubt is not None:
                right = self._choice(step.do, [Delete(("steps", step.number - 1, "unsure"))])
                words = f"Is {step_title(step.id)} done as it is written? If not, correct it in the file."
                yield self._question(step.id, "step", words, step.doubt.read_from, [right], step.doubt.place)

    def _of_tray(self, tray: Step) -> Iterator[Question]:
        """Of each ingredient that no step names: at which step of cooking it goes in. What a serving has hangs on none of them."""
        cooked = [s for s in self.dish.steps if s.stage == "cook" and not is_tray(s.id)]
        if not cooked:
            place = tray.doubt.place if tray.doubt else tray.place
            words = "There is no step of cooking: how is it made? Write the steps in the file, and delete this one."
            yield self._question(tray.id, "step", words, tray.doubt.read_from if tray.doubt else "", (), place)
            return
        written = self.data.get("steps") or []
        for key in _listed(written[tray.number - 1].get("uses")):
            edits = [goes_in(written, tray.number - 1, key, s.number - 1) for s in cooked]
            effect = self._choice("", edits[0]) if edits else None
            choices = [
                replace(effect, words=f"{s.id}: {_shortened(s.do)}", edits=e)
                for s, e in zip(cooked, edits, strict=True)
                if effect is not None
            ]
            words = f"At which step do you add {key}?"
            yield self._question(key, "goes-in", words, "", choices, tray.doubt.place if tray.doubt else tray.place)

    def _of(self, one: Ingredient) -> Iterator[Question]:
        doubt = one.doubt
        if doubt is not None and doubt.food is not None:
            yield self._food(one, doubt.candidates)
        elif self._is_empty_label(one) and not one.to_taste:
            yield self._ask(one, "label", f"What does the label of {one.name} say of 100 g?", [])
        if doubt is not None and doubt.amount is not None:
            shown = "to taste" if one.amount is None else str(one.amount)
            right = self._choice(shown, self._confirmed(one, "amount"), of=one)
            yield self._ask(one, "amount", f"How much {one.name}?", [right])
        if doubt is not None and doubt.form is not None:
            named = self._choice(one.food.name, self._confirmed(one, "form"), of=one)
            yield self._ask(one, "form", f"Is {one.name} {one.food.name}?", [named])
        if doubt is None and one.food.name == "egg" and one.amount is not None and one.amount.unit == "piece":
            sizes = [self._choice(size, [self._amount(one, f"{one.amount.value} {size}")]) for size in SIZES]
            yield self._ask(one, "size", f"What size are the {one.name}?", sizes)
        elif doubt is None and not one.readable and one.food.source and one.amount is not None:
            yield self._weight(one)
        elif doubt is None and not one.food.source and not one.to_taste:
            yield self._food(
                one, tuple(Pantry().suggest(str(self._entry(one).get("food", one.name)), most=_CANDIDATES))
            )

    def _food(self, one: Ingredient, candidates: Sequence[str]) -> Question:
        names = list(dict.fromkeys(n for n in candidates if Pantry().known(n) is not None))
        choices = []
        if one.doubt is not None and one.food.source and not self._is_empty_label(one):
            choices.append(self._choice(one.food.name, self._confirmed(one, "food"), of=one))
        for name in names:
            if name != one.food.name and len(choices) < _CANDIDATES:
                choices.append(self._choice(name, self.food_edits(one, name), of=one))
        return self._ask(one, "food", f"Which food is {one.name}?", choices)

    def _weight(self, one: Ingredient) -> Question:
        """An amount that the pantry cannot weigh: by the states in which it can, else in grams."""
        states = [w.state for w in one.food.weights if w.state and one.amount is not None and w.unit == one.amount.unit]
        choices = [self._choice(state, [self._set(one, "measured_as", state)]) for state in dict.fromkeys(states)][:4]
        asked = (
            f"How was {one.name} ({one.amount}) measured?"
            if choices
            else f"What does {one.amount} of {one.name} weigh?"
        )
        return self._ask(one, "amount", asked, choices)

    # --- what an answer changes ---------------------------------------------------------------------------------------

    def answered(self, question: Question, answer: object) -> tuple[Edit, ...]:
        """The changes that an answer makes: the number of a choice, a number of servings, the name of a food, an amount, or the figures
        of a label. Raises CannotDo where it answers something else."""
        if isinstance(answer, int) and not isinstance(answer, bool) and question.asks != "servings":
            if not 1 <= answer <= len(question.choices):
                raise self._refused(
                    question, f"there is no choice {answer}", f"write 1 to {len(question.choices)}, or a name"
                )
            return question.choices[answer - 1].edits
        one = next((i for i in self.dish.ingredients if i.key == question.ingredient), None)
        if question.asks == "goes-in" and isinstance(answer, str):
            named = [c for c in question.choices if c.words.partition(":")[0] == answer]
            if not named:
                raise self._refused(question, f"there is no such step “{answer}”", "write the number of a choice")
            return named[0].edits
        if question.asks == "servings":
            return self._servings(question, answer)
        if one is not None and isinstance(answer, Mapping):
            return self._label(question, one, answer)
        if one is not None and isinstance(answer, str) and question.asks in ("amount", "size"):
            return self._measured(question, one, answer)
        if one is not None and isinstance(answer, str) and question.asks in ("food", "form", "label"):
            food = Pantry().known(answer)
            if food is None:
                near = any_of([f"“{n}”" for n in Pantry().suggest(answer, most=_CANDIDATES)])
                raise self._refused(
                    question,
                    f"the pantry has no food called “{answer}”",
                    f"write {near}" if near else "give its label instead",
                )
            return self.food_edits(one, food.name)
        raise self._refused(
            question, "that does not answer the question", "write the number of a choice, a name, an amount or a label"
        )

    def _servings(self, question: Question, answer: object) -> tuple[Edit, ...]:
        try:
            value = float(str(answer))
        except ValueError:
            value = 0.0
        if not 0.1 <= value <= 10_000:
            raise self._refused(question, f"“{answer}” is not a number of servings", "write a number such as 4")
        return (Put(("servings",), f"{value:g}"), Delete(("unsure",)))

    def _measured(self, question: Question, one: Ingredient, answer: str) -> tuple[Edit, ...]:
        if question.asks == "amount" and answer in {w.state for w in one.food.weights}:
            return (self._set(one, "measured_as", answer),)
        if answer in SIZES and one.amount is not None:
            return (self._amount(one, f"{one.amount.value} {answer}"),)
        try:
            amount = parse_amount(answer, cups=self.dish.cups, own=self.dish.measures)
        except NotAnAmount as wrong:
            raise self._refused(question, str(wrong), wrong.hint) from None
        if one.doubt is None and amount.kind is Kind.MASS:
            return (self._set(one, "weighed", answer),)
        range_gone = [Delete(("ingredients", one.key, "between"))] if "between" in self._entry(one) else []
        confirmed = self._confirmed(one, "amount") if one.doubt is not None else ()
        return (self._amount(one, answer), *range_gone, *confirmed)

    def _label(self, question: Question, one: Ingredient, answer: Mapping[Any, object]) -> tuple[Edit, ...]:
        unknown = [str(k) for k in answer if k not in FIGURES]
        figures = {k: answer[k] for k in FIGURES if k in answer}
        if unknown or not figures or not all(isinstance(v, int | float) and v >= 0 for v in figures.values()):
            raise self._refused(question, "this is not a label", f"write numbers per 100 g for {', '.join(FIGURES)}")
        name = str(self._entry(one).get("food", one.name))
        label = {
            "per": "100 g",
            "basis": "us",
            **{k: f"{v:g}" for k, v in figures.items() if isinstance(v, int | float)},
        }
        foods = self.data.get("foods") or {}
        edit: Edit = (
            Put(("foods", name), {**(foods.get(name) or {}), **label})
            if name in foods
            else Add(("foods",), name, label)
        )
        made: list[Edit] = [edit] if foods else [Add((), "foods", {name: label}, after="ingredients")]
        return (*made, *(self._confirmed(one, "food") if one.doubt is not None else ()))

    def food_edits(self, one: Ingredient, name: str) -> tuple[Edit, ...]:
        """The ingredient as another food of the pantry; a label that nothing else needs goes."""
        own = str(self._entry(one).get("food", one.name))
        used = [i for i in self.dish.ingredients if i.key != one.key and str(self._entry(i).get("food", i.name)) == own]
        foods = self.data.get("foods") or {}
        gone: list[Edit] = []
        if own in foods and not used and self._is_empty_label(one):
            gone = [Delete(("foods",)) if len(foods) == 1 else Delete(("foods", own))]
        confirmed = self._confirmed(one, "food") if one.doubt is not None else ()
        return (self._set(one, "food", name), *confirmed, *gone)

    def _confirmed(self, one: Ingredient, what: str) -> tuple[Edit, ...]:
        """One doubt of the ingredient less; without another the whole key goes."""
        at: Path = ("ingredients", one.key, "unsure")
        doubts = [k for k in ("food", "amount", "form") if k in (self._entry(one).get("unsure") or {})]
        if doubts == [what]:
            return (Delete(at),)
        also = [Delete((*at, "candidates"))] if what == "food" and "candidates" in self._entry(one)["unsure"] else []
        return (Delete((*at, what)), *also)

    def _set(self, one: Ingredient, key: str, value: str) -> Edit:
        if key in self._entry(one):
            return Put(("ingredients", one.key, key), value)
        return Add(("ingredients", one.key), key, value, after="amount", short_for="amount")

    def _amount(self, one: Ingredient, value: str) -> Edit:
        bare = not isinstance(self.data.get("ingredients", {}).get(one.key), Mapping)
        return Put(("ingredients", one.key) if bare else ("ingredients", one.key, "amount"), value)

    def _entry(self, one: Ingredient) -> dict[str, Any]:
        entry = (self.data.get("ingredients") or {}).get(one.key)
        return dict(entry) if isinstance(entry, Mapping) else {}

    def _is_empty_label(self, one: Ingredient) -> bool:
        c = one.food.composition
        return one.food.source.startswith("label in") and all(getattr(c, n) is None for n in FIGURES)

    # --- what it would change -----------------------------------------------------------------------------------------

    def _choice(self, words: str, edits: Sequence[Edit], of: Ingredient | None = None) -> AnswerChoice:
        """With what a serving has then. Doubts of other ingredients stay unknown, and others that cannot be read are left out; what else is
        in doubt ``of`` this one is taken as it stands: a food is chosen by what so much of it would make."""
        if not self._effects:
            return AnswerChoice(words=words, edits=tuple(edits))
        tried = [*edits]
        if of is not None and of.doubt is not None and Delete(at := ("ingredients", of.key, "unsure")) not in tried:
            tried = [e for e in tried if e.path[: len(at)] != at] + [Delete(at)]
        tried += [self._amount(i, "to taste") for i in self._unreadable if of is None or i.key != of.key]
        try:
            made = read_text(edited(self.text, tried, self.file), self.file)
            serving = made.macros.dishes[0].batch.times(1 / self.dish.servings) if made.is_usable else None
        except CannotDo:
            return AnswerChoice(words=words, edits=tuple(edits))
        if of is not None and serving is not None:
            now = next((i for i in made.dishes[0].ingredients if i.key == of.key), None)
            serving = None if now is None or now.food.composition.energy_kcal is None else serving
        if serving is None:
            return AnswerChoice(words=words, edits=tuple(edits))
        found = made.allergens
        names = tuple(dict.fromkeys(f.name for one in (found.us, found.eu) for f in one.contains))
        return AnswerChoice(
            words=words, edits=tuple(edits), energy_kcal=serving.at_least("energy_kcal"),
            net_carbs_g=serving.at_least("net_carbs_g"), allergens=names,
        )  # fmt: skip

    @functools.cached_property
    def _unreadable(self) -> tuple[Ingredient, ...]:
        """Ingredients that stop the file from being read: an error stands in their lines."""
        if self.production.is_usable:
            return ()
        wrong = [p.place.line for p in self.production.problems if p.severity is Severity.ERROR]
        starts = sorted(i.place.line for i in self.dish.ingredients)
        of_line = {i.place.line: i for i in self.dish.ingredients}
        found = {max((s for s in starts if s <= line), default=0) for line in wrong}
        return tuple(of_line[s] for s in sorted(found) if s in of_line)

    def _ask(self, one: Ingredient, asks: str, words: str, choices: Sequence[AnswerChoice]) -> Question:
        doubt = one.doubt
        place = one.place if doubt is None else doubt.place
        return self._question(one.key, asks, words, "" if doubt is None else doubt.read_from, choices, place)

    def _question(
        self, ingredient: str, asks: str, words: str, read_from: str, choices: Sequence[AnswerChoice], place: Place
    ) -> Question:
        # while nobody knows how many there are, nothing is known of a serving
        now = replace(choices[0], energy_kcal=0.0, net_carbs_g=0.0) if asks == "servings" else self._now()
        return Question(
            id=asks if ingredient == SERVINGS and asks == "servings" else f"{asks}:{ingredient}", asks=asks, ingredient=ingredient,
            words=words, read_from=read_from, choices=tuple(choices), place=place,
            moves=_moves(choices, now),
        )  # fmt: skip

    def _now(self) -> AnswerChoice:
        return self._choice("", ())

    def _refused(self, question: Question, message: str, hint: str) -> CannotDo:
        return CannotDo([error(question.place, "answer", f"{question.id}: {message}", hint)], self.production.files)


def edits_of(text: str, file: str, answers: Mapping[str, object]) -> list[Edit]:
    """The changes that all answers, by the ids of their questions, make one after the other. Raises CannotDo where one does not fit,
    or nothing asks it."""
    made: list[Edit] = []
    for name, answer in answers.items():
        asked = Asked(text, file, effects=False)
        by_id = {q.id: q for q in asked.questions()}
        if name not in by_id:
            hint = f"write one of {', '.join(by_id)}" if by_id else "nothing is left to confirm"
            raise CannotDo([error(Place(file), "answer", f"nothing asks “{name}”", hint)])
        edits = asked.answered(by_id[name], answer)
        text = edited(text, edits, file)
        made += edits
    return made


def _listed(value: object) -> list[str]:
    """What the file writes as a list, or as one bare text."""
    return [str(v) for v in value] if isinstance(value, list) else [str(value)] if value else []


def _shortened(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _WORDS_OF_A_STEP else f"{line[: _WORDS_OF_A_STEP - 1].rstrip()}…"


def _moves(choices: Sequence[AnswerChoice], now: AnswerChoice) -> float:
    known = [c for c in (*choices, now) if c.energy_kcal is not None and c.net_carbs_g is not None]
    if len(known) < 2:
        return _ALLERGEN_COUNTS  # nothing tells how much: it may be everything
    energy = [c.energy_kcal or 0.0 for c in known]
    carbs = [c.net_carbs_g or 0.0 for c in known]
    differ = len({c.allergens for c in known}) > 1
    return max(energy) - min(energy) + _NET_CARBS_COUNT * (max(carbs) - min(carbs)) + _ALLERGEN_COUNTS * differ
