"""Lines of what was published, each held against the line that says the same thing now."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.publish.replaced_lines import lines_to_replace

OLD = """\
Quay greens
Makes 2 servings, 190 g a serving.
INGREDIENTS for 2 servings
30 g (about 2 tbsp) unsalted butter
300 g (about 8 ¼ cups) spring greens
50 ml (about 3 ½ tbsp) single cream
0:10 Wilt the greens
Allergens, US list: milk (butter, cream)
Follow your local food code."""


def pairs(was: str, now: str) -> list[tuple[str, str]]:
    return [(line.was, line.now) for line in lines_to_replace("description", was, now)]


def test_an_ingredient_is_known_again_wherever_it_stands_and_by_whatever_unit() -> None:
    now = OLD.replace("50 ml (about 3 ½ tbsp) single cream\n", "").replace(
        "30 g (about 2 tbsp) unsalted butter", "20 ml (about 4 tsp) single cream\n45 g (about 3 tbsp) unsalted butter"
    )
    assert pairs(OLD, now) == [
        ("30 g (about 2 tbsp) unsalted butter", "45 g (about 3 tbsp) unsalted butter"),
        ("50 ml (about 3 ½ tbsp) single cream", "20 ml (about 4 tsp) single cream"),
    ]


def test_what_is_new_and_what_goes_are_told_as_such() -> None:
    now = OLD.replace("50 ml (about 3 ½ tbsp) single cream", "80 g peas\n6 g mint")
    assert pairs(OLD, now) == [("50 ml (about 3 ½ tbsp) single cream", ""), ("", "80 g peas"), ("", "6 g mint")]


def test_an_allergen_counts_though_it_is_no_figure_and_chapters_never_do() -> None:
    now = OLD.replace("milk (butter, cream)", "milk, wheat (butter, flour)").replace("0:10", "0:14")
    assert pairs(OLD, now.replace("Follow your", "Keep to your")) == [
        ("Allergens, US list: milk (butter, cream)", "Allergens, US list: milk, wheat (butter, flour)")
    ]


@pytest.mark.parametrize("now", [OLD, "\n".join(reversed(OLD.splitlines())), f"{OLD}\n\n"])
def test_the_same_lines_in_any_order_are_no_change(now: str) -> None:
    assert pairs(OLD, now) == []


LINES = st.lists(st.sampled_from(["20 g fat", "21 g fat", "Leek 3", "Makes 4", "Serve.", "0:10 End", ""]), max_size=8)


@given(LINES, LINES)
def test_replaced_as_told_the_text_says_what_is_right(was: list[str], now: list[str]) -> None:
    def figures(lines: list[str]) -> list[str]:
        return sorted(line for line in lines if any(c.isdigit() for c in line) and ":" not in line)

    text = list(was)
    for line in lines_to_replace("description", "\n".join(was), "\n".join(now)):
        if line.was:
            text.remove(line.was)
        if line.now:
            text.append(line.now)
    assert figures(text) == figures(now)
