"""An ingredient line into an amount, a food and how it is got ready; each with how sure it is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.drafting import as_bought
from scriptkit.drafting.food_matching import (
    NOTHING,
    SURE,
    UNKNOWN,
    USUAL,
    FoodMatch,
    FoodMatcher,
    folded,
    head_of,
    is_of,
)
from scriptkit.drafting.fruit_parts import FruitPart, fruit_parts
from scriptkit.drafting.languages import in_our_units
from scriptkit.drafting.line_amounts import LineAmount, amount_first, read_amount
from scriptkit.drafting.line_text import DROPPED, LineText, headings_among, is_no_ingredient, is_optional, read_text
from scriptkit.drafting.line_weights import (
    GUESSED,
    ONE_OF_SEVERAL,
    LineWeight,
    moves_little,
    noted_weight,
    weight_of,
)
from scriptkit.drafting.old_measures import TO_TASTE, begins_with_amount, is_size
from scriptkit.drafting.pints import AMERICAN, BRITISH, in_british, unsure_pint
from scriptkit.drafting.plus_amounts import with_plus, without_plus
from scriptkit.drafting.prep_words import is_cutting, tells_prep
from scriptkit.drafting.several_foods import OR, foods_of, lines_of, readings_of
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry import as_sold
from scriptkit.pantry.lookup import UnknownFood
from scriptkit.pantry.names import typed_words

LONGEST_LINE = 500
_NAMED = 0.7
"""How sure a food must be that is only to taste."""
_FRESH = frozenset({"sprig", "bunch", "stem", "leaf", "handful", "stalk"})
"""Only a fresh herb comes so."""
_AS_FRESH = re.compile(
    r"\bchopped\b|\bhandfuls?\b|\b(?:to|for) (?:garnish|finish|serv|scatter|top|sprinkle over)", re.IGNORECASE
)
_CLAUSE = re.compile(
    r"\s+(?:(?:cut|sliced|chopped|peeled|halved|torn|broken|trimmed|rinsed|drained|roasted|crushed|separated|packed)\s+(?:in|into|and|to|on|at|lengthwise|crosswise)\b"
    r"|divided\b|optional\b|defrosted\b|at room temp|or more\b|or to taste).*$",
    re.IGNORECASE,
)
_NO_PREP = frozenset({
    "canned", "tinned", "lean", "dried", "dry", "salted", "unsalted", "sweetened", "unsweetened", "sugar", "fat", "light", "low",
})  # fmt: skip
"""States of a food as it is bought, which nobody gets ready."""
_WHOLE = re.compile(r"whole\s+(?!wheat|grain|meal|milk|egg mayo)", re.IGNORECASE)
_CANS = re.compile(r"\b(?:\d+|one|two|a|oz\.?|ounces?|-ounce)\s+(?:can|tin)s?\b", re.IGNORECASE)
_ANY_KIND = re.compile(
    r"\s+(?:of (?:your |any )?(?:choice|any kind)|such as|ideally|preferably|e\.?g\.?)\b.*$", re.IGNORECASE
)
_DASH = re.compile(r"\s+-+\s*(?=[^\W\d])|;\s*|:\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftIngredient:
    """An ingredient as the draft writes it. ``food`` is empty where the name alone finds it, and ``known`` False where the
    pantry has none. ``food_sure`` and ``amount_sure`` are from 0 to 1; 1 needs no confirmation. ``remarks`` say how it was read."""

    line: str
    name: str
    amount: str
    food: str
    prep: str = ""
    measured_as: str = ""
    food_sure: float = 1.0
    amount_sure: float = 1.0
    candidates: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    why_unsure: str = ""
    """Why its amount is a guess; it goes with the doubt, so it is no remark that outlives the answer."""
    known: bool = True
    with_bones: bool = False
    """Whether its weight is of the piece as it is bought, bones and all."""
    between: tuple[str, ...] = ()
    """The least and the most of it, where ``amount`` is one of a range; empty where it is none."""
    optional: bool = False

    @property
    def to_confirm(self) -> bool:
        """Whether anything of it is a guess. Of what is only to taste and that the pantry has not, nothing is counted in any case."""
        if self.amount == TO_TASTE:
            return self.amount_sure < 1 or (self.known and self.food_sure < _NAMED)
        return self.amount_sure < 1 or self.food_sure < SURE


class LineReader:
    """Reads lines by one pantry's foods."""

    def __init__(self, matcher: FoodMatcher, language: str = "", pints: str = "") -> None:
        """``pints``: whose they are, as `pints_of` tells; empty: nobody knows."""
        self.matcher, self.language, self.pints = matcher, language, pints
        self.pantry = matcher.pantry

    def read(self, line: str) -> list[DraftIngredient]:
        """The ingredients that the line names: *salt and pepper* are two, and *For the dressing:* is none."""
        line = " ".join(line.split())[:LONGEST_LINE]
        ours = in_british(line) if self.pints == BRITISH else line
        said = read_text(in_our_units(ours, self.language) if self.language else ours)
        if is_no_ingredient(line) or not said.text:
            return []
        if self.language:
            return [self._foreign(said, line)]
        if several := lines_of(said, line, self.matcher):
            return [replace(d, line=line) for one in several for d in self.read(one)]
        if parts := fruit_parts(said):
            return [self._of_fruit(part, line) for part in parts]
        return self._of_foods(said, line)

    def read_all(self, lines: Sequence[str]) -> list[tuple[str, list[DraftIngredient]]]:
        """Each line with its ingredients; of a heading, which is told by the lines around it, none."""
        headings = headings_among(lines, lambda words: self.matcher.match(words).confidence >= USUAL)
        read = [(line, [] if n in headings else self.read(line)) for n, line in enumerate(lines)]
        below = False
        for line, found in read:
            below = below if found else is_optional(line)  # *Optional toppings:* is said of what stands below
            found[:] = [replace(d, optional=below or is_optional(line)) for d in found]
        return read

    def _of_foods(self, said: LineText, line: str) -> list[DraftIngredient]:
        told = _amount_of(said)
        foods = foods_of(told, self.matcher)
        if foods.shared:
            return [self._share(said, told, line, name, len(foods.names)) for name in foods.names]
        if foods.names:
            return [self._one(replace_text(said, name), told, line, rest=name) for name in foods.names]
        return [self._one(said, told, line, rest=told.rest)]

    def _share(self, said: LineText, told: LineAmount, line: str, name: str, of: int) -> DraftIngredient:
        """One of several foods that have an amount together: an equal part, which is a guess where it could matter."""
        if told.amount is None:
            return self._one(replace_text(said, name), told, line, rest=name)
        part = replace(told, amount=told.amount.times(Fraction(1, of)), most=None)
        one = self._one(replace_text(said, name), part, line, rest=name)
        food = self.pantry.find(one.food or one.name) if one.known else None
        little = food is not None and moves_little(food, told.amount, one.prep)
        remark = f"the recipe says {told.amount} of {of} foods together; taken as equal parts"
        return replace(
            one,
            amount_sure=one.amount_sure if little else min(one.amount_sure, ONE_OF_SEVERAL),
            remarks=(*one.remarks, remark) if little else one.remarks,
            why_unsure="" if little else remark,
        )

    def _foreign(self, said: LineText, line: str) -> DraftIngredient:
        """A line in another language: its number and unit; what it names is nobody's guess, for *gift* and *pain* are words there too."""
        told = read_amount(amount_first(said.text, said.notes))
        name = told.rest.partition(",")[0].strip(" -:.")[:100] or said.text[:60]
        weight = LineWeight(amount=TO_TASTE) if told.amount is None else weight_of(None, told.amount, "")
        sure = weight.sure if told.amount is not None and told.amount.kind is Kind.MASS else GUESSED
        sure = 1.0 if told.amount is None and not re.search(r"\d", told.rest) else sure
        return DraftIngredient(
            line=line, name=name, amount=weight.amount, food="", food_sure=0.0, amount_sure=sure, known=False
        )

    def _of_fruit(self, part: FruitPart, line: str) -> DraftIngredient:
        food = "" if self._finds(part.name, part.food, "", None) else part.food
        return DraftIngredient(line=line, name=part.name, amount=part.amount, food=food, remarks=(part.remark,))

    def _one(self, said: LineText, told: LineAmount, line: str, *, rest: str) -> DraftIngredient:
        remarks, counted = list(told.remarks), _counted(told.amount, rest)
        inner = re.match(r"^\(([^()]*)\)\s*", rest)
        if inner:
            rest = rest[inner.end() :]
        rest, plus = without_plus(rest)
        plus = plus or "".join([words for note in said.notes if (words := without_plus(note)[1])][:1])
        name, prep, beside, notes = self._parts(rest, (inner.group(1), *said.notes) if inner else said.notes, remarks)
        if told.container.startswith(("can", "tin")):
            beside = f"{beside} canned"
        if _WHOLE.match(name) and counted:
            name, beside = _WHOLE.sub("", name), f"{beside} whole"
        if (told.amount is not None and told.amount.unit in _FRESH) or _AS_FRESH.search(f"{rest} {beside} {line}"):
            beside = f"{beside} fresh"
        if line.startswith(name[:6]) and name[1:2].islower():
            name = name[:1].lower() + name[1:]  # the capital was the line's
        name, found, chopped = self._named(name, beside, remarks, said.notes)
        found = self._by_the_piece(found, told.amount, line) if counted else self._by_weight(found, told.amount, line)
        name = f"whole {name}" if found.food.endswith(", whole") and "whole" in beside.split() else name
        prep = ", ".join(p for p in (chopped, prep) if p)[:200]
        food = self.pantry.find(found.food) if found.food else None
        amount, remark = noted_weight(food, told.amount, notes, prep)
        if remark:
            remarks.append(remark)
        amount, uncounted = with_plus(food, amount, plus, prep, remarks)
        as_told = amount
        if food is not None and amount is not None:
            dish_food, amount, poured_off = as_bought.drained(food.name, food.category, amount, prep, told.container)
            food = self.pantry.find(dish_food)
            remarks += [poured_off] if poured_off else []
        not_understood = amount is None and not said.to_taste and re.search(r"\d", rest)
        weight = LineWeight(amount=TO_TASTE, sure=0.0 if not_understood else 1.0)
        if amount is not None:
            weight = weight_of(food, amount, prep, folded(name))
            if food is None and amount.kind is not Kind.MASS:
                weight = replace(weight, sure=GUESSED)
        elif not said.to_taste:
            remarks.append("the line gives no amount")
        if food is not None and (unsure := as_bought.unknown_share(food, amount, line)):
            weight = replace(weight, sure=GUESSED, remark=unsure)
        whose = unsure_pint(told.remarks, amount) if self.pints != AMERICAN else ""
        remarks = [remark for remark in remarks if remark != whose]
        weight = _doubted(weight, [why for why in (uncounted, whose) if why])
        remarks += [weight.remark] if weight.remark and weight.sure >= 1 else []
        name = name or " ".join(re.findall(r"[^\W\d_]+", line))[:60] or "ingredient"
        finds = food is not None and self._finds(name, food.name, weight.measured_as or prep, amount)
        return DraftIngredient(
            line=line, name=name, amount=weight.amount, food="" if finds or food is None else food.name, prep=prep,
            measured_as=weight.measured_as, food_sure=found.confidence if food is not None else 0.0,
            with_bones=food is not None and as_sold.with_bones(food, amount, line),
            amount_sure=weight.sure, candidates=found.candidates, remarks=tuple(dict.fromkeys(remarks)),
            known=food is not None, between=as_bought.between(told, as_told, amount, food, prep, name, weight),
            why_unsure=weight.remark if weight.sure < 1 else "",
        )  # fmt: skip

    def _by_the_piece(self, found: FoodMatch, amount: Amount | None, line: str) -> FoodMatch:
        """What is meant where it comes by the piece: a bell pepper, a whole chicken."""
        if found.covered == {"pepper"} and found.confidence >= SURE:
            return self.matcher.match("bell pepper")
        return self._by_weight(found, amount, line, counted=True)

    def _by_weight(self, found: FoodMatch, amount: Amount | None, line: str, *, counted: bool = False) -> FoodMatch:
        if found.food == "tomato puree, american" and amount is not None and amount.unit in ("tablespoon", "teaspoon"):
            return self.matcher.match("tomato paste")  # by the spoon it is the British name of paste
        if found.covered == {"chicken"} and as_sold.whole_bird(amount, line, counted=counted):
            return replace(self.matcher.match("whole chicken"), candidates=found.candidates)
        return found

    def _parts(self, text: str, notes: Sequence[str], remarks: list[str]) -> tuple[str, str, str, list[str]]:
        """The food's words; how it is got ready; words that say which of several it is; and all notes."""
        text = _DASH.sub(", ", re.sub(r"^(?:of\s+|each\s+(?:of\s+)?)", "", text, flags=re.IGNORECASE))
        pieces = [p.strip() for p in text.split(",")]
        head = _ANY_KIND.sub("", pieces.pop(0))
        if (clause := _CLAUSE.search(head)) and clause.start():
            pieces.insert(0, head[clause.start() :].strip())
            head = head[: clause.start()]
        if notes and not pieces and not self._says_what(head):
            head, notes = f"{head} {notes[0].partition(',')[0]}", [*notes[0].partition(",")[2:], *notes[1:]]
        while pieces and pieces[0] and not self._says_what(head):
            head = f"{head} {pieces.pop(0)}"  # boneless, skinless chicken breasts
        head = re.sub(r"\s+(?:plus|with|without|\+)\s?.*$", "", head, flags=re.IGNORECASE)
        preps, beside, all_notes = [], [], [*notes, *pieces]
        for note in [*pieces, *(p.strip() for n in notes for p in re.split(r"[,;]|\s-\s", n))]:
            if _CANS.search(note) and not re.search(r"\bor\b", note):
                beside.append("canned")
            if "%" in note:
                beside.append(note)
            if not note or DROPPED.match(note):
                if re.match(r"divided", note, re.IGNORECASE):
                    remarks.append(note)
                continue
            plain = re.split(r"\s+(?:(?:or|for|to)\b|\()\s*", note)[0]
            kinds = [is_of(w, "cut", "plain", "form") or w.isdigit() for w in folded(plain)]
            cut = kinds and sum(kinds) >= len(kinds) * 0.6 and any(is_of(w, "cut") for w in folded(plain))
            if cut or tells_prep(note):
                preps.append(note)
            elif kinds and all(
                k or is_of(w, "state", "variety", "form") for k, w in zip(kinds, folded(plain), strict=True)
            ):
                told = any(is_of(w, "state") and not is_of(w, "variety") and w not in _NO_PREP for w in folded(plain))
                preps += (
                    [note]
                    if told or re.search(r"temperature|cold|warm|chilled|bone|skin", plain, re.IGNORECASE)
                    else []
                )
            beside.append(plain)
        return head.strip(" -–—.,;:*"), ", ".join(dict.fromkeys(preps)), " ".join(beside), all_notes

    def _named(self, head: str, beside: str, remarks: list[str], notes: Sequence[str]) -> tuple[str, FoodMatch, str]:
        """The name without what is only cutting, its food, and the cutting; of alternatives the first, with their common noun."""
        best = NOTHING
        chosen = head
        options = [o for o in readings_of(head) if o]
        for option in options:
            found = self.matcher.match(option, beside)
            if found.confidence > best.confidence or (not best.candidates and found.candidates and not best.food):
                best, chosen = found, option
            if found.confidence >= SURE:
                break
        if not best.food:
            best = self._by_note(head, notes) or best
        if len(parts := OR.split(head, maxsplit=1)) > 1 and parts[0].strip():
            other = parts[1].strip()
            second = self.matcher.match(other, beside) if not best.food else NOTHING
            if second.confidence >= SURE and not any(is_of(w, "diet") for w in folded(parts[0])):
                best, chosen, other = second, other, parts[0].strip()  # of two, the one that the pantry has
            remarks.append(f"the recipe also allows {parts[0].strip() if other.startswith(chosen) else other}")
        words = chosen.split()
        front = 0
        while front < len(words) - 1 and is_cutting(words[front : front + 2], best):
            front += 1
        while (
            front
            and words[front - 1].casefold().endswith("ly")
            and folded(words[front - 1])[0] not in best.covered
            and not any(is_of(w, "cut") for w in folded(words[front - 1]))
        ):
            front -= 1
        back = len(words)
        while back > front + 1 and all(is_of(w, "cut") and w not in best.covered for w in folded(words[back - 1])):
            back -= 1
        if back < len(words):
            while (
                back > front + 1
                and folded(words[back - 1])
                and all(
                    is_of(w, "plain") and words[back - 1].casefold().endswith("ly") for w in folded(words[back - 1])
                )
            ):
                back -= 1
        within = next((n for n in range(front, back) if not is_of(words[n].casefold(), "plain")), front)
        inside = (
            words[within : within + 1] if front < within < back - 1 and is_cutting(words[within:back], best) else []
        )
        cut = " ".join([*words[:front], *inside, *words[back:]])
        words[within : within + len(inside)], back = [], back - len(inside)
        kept = re.sub(r"^(?:and|&)\s+", "", " ".join(words[front:back]), flags=re.IGNORECASE)
        return kept[:100].strip(" ,-"), best, re.sub(r"\s+(?:and|&)$", "", cut)

    def _by_note(self, head: str, notes: Sequence[str]) -> FoodMatch | None:
        """*Maida (all-purpose flour)*: the food that a bracket names, and nothing else; of *starch (tapioca or corn)* one that is such, to be asked."""
        for note in notes:
            found = self.matcher.match(note)
            if found.confidence >= SURE and not OR.search(note) and "," not in note:
                return replace(found, confidence=SURE)
            kinds = [self.matcher.match(f"{one} {head}") for one in OR.split(note)] if OR.search(note) else []
            if such := next((f for f in kinds if f.confidence >= SURE), None):
                return replace(such, confidence=USUAL)
        return None

    def _says_what(self, words: str) -> bool:
        """Whether the words name something, and not only what it is like."""
        told = folded(words)
        head = head_of(told)
        if not head:
            return False
        if is_of(head, "plain", "cut", "variety", "state", "diet", "modifier"):
            return self.matcher.match(words).confidence >= UNKNOWN
        return True

    def _finds(self, name: str, food: str, prep: str, amount: Amount | None) -> bool:
        """Whether a dish file finds the food by the name alone."""
        if self.pantry.known(name) is None:
            return False
        try:
            unit, by_volume = (amount.unit, amount.kind is Kind.VOLUME) if amount is not None else ("", False)
            meant = self.pantry.meant(name, prep=prep, unit=unit, by_volume=by_volume)
            return meant.food.name == food
        except UnknownFood:
            return False


def _doubted(weight: LineWeight, doubts: Sequence[str]) -> LineWeight:
    """The weight with what makes it a guess; as it is where nothing does."""
    if not doubts:
        return weight
    told = [weight.remark] if weight.sure < 1 else []
    return replace(weight, sure=min(weight.sure, ONE_OF_SEVERAL), remark="; ".join([*told, *doubts]))


def replace_text(said: LineText, name: str) -> LineText:
    """The same line about one of two ingredients."""
    return LineText(text=name, notes=(), to_taste=said.to_taste)


def _amount_of(said: LineText) -> LineAmount:
    """How much; where a bracket holds all that the line asks for, by that: *1 packet (2 1/4 tsp dried yeast)*."""
    told = read_amount(amount_first(said.text, said.notes))
    inside = re.fullmatch(r"\(([^()]+)\)", told.rest.strip())
    held = inside[1] if inside else said.notes[0] if said.notes and not told.rest.strip() else ""
    return read_amount(held) if held and begins_with_amount(held) else told


def _counted(amount: Amount | None, words: str) -> bool:
    """Whether *pepper* is meant that comes by the piece."""
    return bool(amount is not None and (amount.unit == "piece" or is_size(amount.unit))) or "peppers" in typed_words(
        words
    )
