"""``scriptkit confirm`` in a terminal: one question after the other, one key an answer, each answer said back and written at once."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from scriptkit.cli.printing import print_problems
from scriptkit.cli.where_next import print_next_of_answers
from scriptkit.problems import CannotDo, Place, error, printable

if TYPE_CHECKING:
    from scriptkit.confirming import AnswerChoice, Question

_TYPED = {
    "food": ("o", "another food", "which food? "), "label": ("o", "another food", "which food? "), "form": ("o", "another food", "which food? "),
    "amount": ("w", "another amount", "how much, such as 200 g or 2 tbsp? "), "size": ("w", "another amount", "how much, such as 3 large or 150 g? "),
    "servings": ("w", "another number", "how many? "), "goes-in": ("w", "another step", "which step, by its id? "),
}  # fmt: skip
"""What a question asks → the key that lets an answer be typed, what it is for, and what is asked then. A step is corrected in the file."""
_WITH_LABEL = ("food", "label")
_ENDS = ("q", "\x03", "\x04", "")
_STOP = object()
_MOST_LEFT = 12
_FIRST_KEYS = 9
"""Choices that one key can name."""
_WHY = {
    "food": "The figures and the allergens are those of the food you name.",
    "label": "No table has this food: its label has the figures, per 100 g.",
    "amount": "The line does not say how much, or not in a measure that can be weighed.",
    "size": "A small and an extra large egg differ by half.",
    "form": "Raw, dried and canned differ in every figure.",
    "servings": "Every figure of a serving hangs on it.",
    "goes-in": "No step of the method names it, so nothing shows where it goes in.",
    "step": "The words of the step leave something open.",
}


@dataclass(frozen=True, slots=True)
class _Done:
    """An answer that was written, as the file's bytes before and after; of a question that was skipped both are None."""

    question: str
    before: bytes | None = None
    after: bytes | None = None


def by_hand(path: str) -> int:
    """Asks until nothing is left or the cook stops; what is skipped comes again the next time. 0 where nothing is left, else 1."""
    from scriptkit.cli.confirm import lines_as_read, text_of
    from scriptkit.confirming import Asked
    from scriptkit.editing import write_edit

    done: list[_Done] = []
    while True:
        text = text_of(path)
        asked = Asked(text, path)
        questions = asked.questions()
        skipped = {d.question for d in done if d.before is None}
        waiting = [q for q in questions if q.id not in skipped]
        if not waiting:
            return _left_with(path, questions, "")
        if not done:
            print(f"{len(questions)} to confirm in {printable(path)}. Press ? for help at any question.")
        question = waiting[0]
        _show(question, len(waiting))
        answer = _asked_for(question, waiting, done, path)
        if answer is _STOP:
            return _left_with(path, questions, "stopped; ")
        if answer is None:
            continue
        try:
            before = Path(path).read_bytes()
            write_edit(path, asked.answered(question, answer), as_read=lines_as_read(text))
            done.append(_Done(question.id, before, Path(path).read_bytes()))
            print(f"  written: {_said_back(question, answer)}")
        except CannotDo as wrong:
            print_problems(wrong.problems)
            print("  nothing was written")


def _asked_for(question: Question, waiting: Sequence[Question], done: list[_Done], path: str) -> object:
    """The answer that the keys give; None where the questions are another lot then, or nothing was answered; ``_STOP`` at the end."""
    while (key := _key()) not in _ENDS:
        if key == "s":
            done.append(_Done(question.id))
            print(f"  skipped: {printable(question.words)}")
            return None
        if key == "b":
            if _taken_back(path, done):
                return None
        elif key in ("?", "h"):
            _help(question)
        elif key == "a":
            _list(waiting)
        elif (answer := _answer(question, key)) is not None:
            return answer
        elif key in dict(_own_keys(question)):
            _show(question, len(waiting))  # nothing was typed
        else:
            print(f"  {_no_key(question, key)}")
    return _STOP


def _left_with(path: str, questions: Sequence[Question], stopped: str) -> int:
    if questions:
        print(f"{stopped}{len(questions)} left to confirm in {path}")
        _list(questions)
    else:
        print(f"nothing is left to confirm in {path}")
    print_next_of_answers(path)
    return 1 if questions else 0


def _list(questions: Sequence[Question]) -> None:
    for question in questions[:_MOST_LEFT]:
        print(f"  - {printable(question.words)}")
    if len(questions) > _MOST_LEFT:
        print(f"  - and {len(questions) - _MOST_LEFT} more")


def _taken_back(path: str, done: list[_Done]) -> bool:
    """Whether the last answer was undone, or what was skipped comes again. A file that was changed beside the command is left alone."""
    from scriptkit.editing import write_in_place

    if not done:
        print("  there is nothing to take back yet")
        return False
    last = done[-1]
    if last.before is not None:
        if Path(os.path.realpath(path)).read_bytes() != last.after:
            message = "the file was changed since, so the last answer stays"
            print_problems([error(Place(path), "changed", message, "change it back in your editor")])
            return False
        try:
            write_in_place(path, last.before)
        except CannotDo as wrong:
            print_problems(wrong.problems)
            return False
    done.pop()
    print("  taken back: the question before comes again")
    return True


def _show(question: Question, of: int) -> None:
    print(f"\n{printable(question.words)}   ({of} to go)")
    if question.read_from:
        print(f"  read from “{printable(question.read_from)}”")
    for n, choice in enumerate(question.choices, 1):
        print(f"  {n if n <= _FIRST_KEYS else ' '}  {printable(choice.words)}{_effect(choice)}")
    keys = [f"{key} {what}" for key, what in _own_keys(question)]
    print(f"  {', '.join([*keys, 's skip', 'b back', 'q stop', '? help'])}")


def _own_keys(question: Question) -> list[tuple[str, str]]:
    """The keys beside the numbers that answer this question, and what for."""
    typed = [_TYPED[question.asks][:2]] if question.asks in _TYPED else []
    return [*typed, *([("l", "its label")] if question.asks in _WITH_LABEL else [])]


def _numbers(question: Question) -> str:
    count = min(len(question.choices), _FIRST_KEYS)
    return "" if not count else "1" if count == 1 else f"1 to {count}"


def _help(question: Question) -> None:
    print(f"  {_WHY.get(question.asks, 'A guess counts as unknown until you confirm it.')}")
    rows = [
        (_numbers(question), "take this choice; beside it stands what a serving then has"),
        *((key, f"{what}: you type it, and Enter alone goes back") for key, what in _own_keys(question)),
        ("s", "skip it for now; it is asked again the next time"),
        ("b", "back: undo the last answer in the file, or ask again what was skipped"),
        ("a", "list all that is left"),
        ("q", "stop; what was answered is in the file already"),
    ]
    for key, what in rows:
        if key:
            print(f"  {key:7} {what}")
    if question.asks == "step":
        print("  If it is not right, stop, correct the step in the file, and delete its `unsure:`.")


def _no_key(question: Question, key: str) -> str:
    keys = [k for k in (_numbers(question), *(k for k, _ in _own_keys(question)), "s", "b", "a", "q") if k]
    shown = f"“{key}” answers nothing here: " if key.isprintable() and key.strip() else ""
    return f"{shown}press one of the keys above ({', '.join(keys)}; ? explains them)"


def _effect(choice: AnswerChoice) -> str:
    if choice.energy_kcal is None or choice.net_carbs_g is None:
        return ""
    holds = f"; allergens: {', '.join(choice.allergens)}" if choice.allergens else ""
    return f"   a serving then has at least {choice.energy_kcal:.0f} kcal, {choice.net_carbs_g:.1f} g net carbs{holds}"


def _answer(question: Question, key: str) -> object:
    """What the key answers; None where it is no key of the question, or nothing was typed."""
    if key.isdigit() and 1 <= int(key) <= len(question.choices):
        return question.choices[0].words if question.asks == "servings" else int(key)
    if key == "l" and question.asks in _WITH_LABEL:
        return _label()
    if question.asks in _TYPED and key == _TYPED[question.asks][0]:
        return _typed(_TYPED[question.asks][2]) or None
    return None


def _said_back(question: Question, answer: object) -> str:
    """What was taken, in the words of the choice."""
    if isinstance(answer, int):
        told = question.choices[answer - 1].words
    elif isinstance(answer, dict):
        told = ", ".join(f"{name} {value:g}" for name, value in answer.items()) + " per 100 g"
    else:
        told = str(answer)
    what = "servings" if question.asks == "servings" else question.ingredient
    return printable(f"{what}: {told}")


def _typed(asked: str) -> str:
    """A line; empty where the cook thought better of it."""
    try:
        return input(f"  {asked}").strip()
    except EOFError:
        print()
        return ""


def _label() -> dict[str, float] | None:
    """The figures of a label; None where none was given. A figure that cannot be read is asked for again."""
    from scriptkit.confirming import FIGURES

    given: dict[str, float] = {}
    for name in FIGURES:
        while text := _typed(f"{name} per 100 g (Enter: not on the label): ").replace(",", "."):
            try:
                given[name] = float(text)
                break
            except ValueError:
                print(f"  “{printable(text)}” is no number: write it without its unit, such as 12.5")
    return given or None


def _key() -> str:
    """One key, without Enter where the terminal allows it. Enter alone, arrows and the like are no keys."""
    sys.stdout.write("  > ")
    sys.stdout.flush()
    try:
        import termios
        import tty

        number = sys.stdin.fileno()
        before = termios.tcgetattr(number)
    except (ImportError, OSError, ValueError):
        line = sys.stdin.readline()
        return line.strip()[:1].casefold() if line.strip() or not line else _key()
    try:
        tty.setcbreak(number, termios.TCSANOW)  # what is typed ahead stays
        while (key := sys.stdin.read(1)) in ("\n", "\r", "\x1b"):
            if key == "\x1b" and (key := sys.stdin.read(1)) not in ("[", "O"):
                break
            if key in ("[", "O"):
                while (part := sys.stdin.read(1)) and not part.isalpha() and part != "~":
                    pass
    finally:
        termios.tcsetattr(number, termios.TCSANOW, before)
    print(key if key.isprintable() else "")
    return key.casefold()
