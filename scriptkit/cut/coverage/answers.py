"""Answers that a person gave on the pages of the coverage report, as the page saves them: CSV with a row for each gap."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from scriptkit.problems import CannotDo, Place, Problem, any_of, error, printable, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.log.csv_cells import decoded, rows_of
from scriptkit.shoot.log.log_cells import folded, unguarded

COLUMNS = ("title", "gap", "answer")
SEEN, NOT_SEEN, NOT_SO = "seen", "not seen", "not so"
WAYS = ("both", "overlay", "description", "recipe", "record", "unfilmed")
ANSWERS = (SEEN, NOT_SEEN, NOT_SO, *WAYS)


@dataclass(frozen=True, slots=True)
class GapAnswer:
    """``gap`` is a name of gap_names, or a moment; ``answer`` one of ANSWERS."""

    gap: str
    answer: str
    place: Place

    @property
    def is_way(self) -> bool:
        """Whether it chooses what is written into the recipe, and says nothing of what is seen."""
        return self.answer in WAYS


def read_answers(raw: bytes, file: str, source: Dish | Meal) -> tuple[GapAnswer, ...]:
    """The answers in the file's order. Raises CannotDo where it is no such file, or of another recipe, with everything in it that is no
    answer."""
    rows = rows_of(decoded(raw, file), file, COLUMNS)
    columns = {folded(cell.text): n for n, cell in enumerate(rows[0])} if rows else {}
    if "gap" not in columns or "answer" not in columns:
        hint = "save it again with Save answers on coverage.html or contact-sheet.html"
        raise CannotDo([error(Place(file), "no-answers", f"its first line does not name {any_of(COLUMNS[1:])}", hint)])
    found: list[GapAnswer] = []
    problems: list[Problem] = []
    for row in rows[1:]:
        cells = {name: unguarded(row[n].text) for name, n in columns.items() if n < len(row)}
        gap, answer = cells.get("gap", ""), " ".join(cells.get("answer", "").casefold().split())
        place = row[0].place
        title = cells.get("title", "")
        if title and folded(title) != folded(source.name):
            message = f"these are answers about “{printable(title)}”, not “{printable(source.name)}”"
            raise CannotDo(
                [error(place, "other-recipe", message, "give the file that was saved from this recipe's page")]
            )
        if not gap or not answer:
            continue
        if answer not in ANSWERS:
            problems.append(
                error(place, "unknown-answer", f"“{printable(answer)}” is no answer", f"write {any_of(ANSWERS)}")
            )
        else:
            found.append(GapAnswer(gap, answer, place))
    if problems:
        raise CannotDo(problems)
    return tuple(found)


def seen_of(
    answers: Sequence[GapAnswer], names: dict[Place, str], not_heard: Collection[Place] = ()
) -> tuple[dict[Place, bool], list[Problem]]:
    """Which additions are seen to go in and which are not, by their place; the last answer counts. Of one that is ``not_heard`` that is
    not so where it is there all the same. With a warning for each that names no addition. ``names`` by gap_names."""
    by_name = {name.casefold(): place for place, name in names.items()}
    found: dict[Place, bool] = {}
    problems = []
    for one in answers:
        place = by_name.get(one.gap.casefold())
        if one.is_way or (one.answer == NOT_SO and place not in not_heard):
            continue
        if place is None:
            message = f"no addition is called “{printable(one.gap)}” here"
            problems.append(
                warning(one.place, "unknown-gap", message, "save the answers again from the page as it is now")
            )
        else:
            found[place] = one.answer in (SEEN, NOT_SO)
    return found, problems
