"""What is said stays on the screen of the stage page while a take rolls, at every size, whatever else asks for room."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from stage_phone import Set, make_set, phone
from test_stage_page import LAYOUT, SIZES


@pytest.fixture
def supper(tmp_path: Path) -> Set:
    return make_set("harbour-supper.yaml", tmp_path)


LINES_SEEN = """() => {
  const box = id => document.getElementById(id).getBoundingClientRect(), [line, say, shot] = ['line', 'say', 'shot'].map(box);
  if (!line.height) return [0, 0];
  const one = parseFloat(getComputedStyle(document.getElementById('line')).lineHeight), all = Math.round(line.height / one);
  const over = Math.min(line.bottom, say.bottom, shot.bottom), seen = Math.max(0, (over - line.top) / one);
  const hit = y => document.elementFromPoint(line.left + 8, y)?.closest('#say');
  return [hit(line.top + 4) && hit(Math.min(over, line.top + 2 * one) - 4) ? seen : 0, all];
}"""
"""How many lines of what is to be said are seen, with nothing over them, and how many there are."""


WHILE_IT_ROLLS = """([lines, layout]) => {
  const hands = [...document.querySelectorAll('#hands button')], tap = n => { window.skew += 400; hands[n].click() };
  const key = name => document.body.dispatchEvent(new KeyboardEvent('keydown', {key: name, bubbles: true}));
  const shots = Number(document.getElementById('place').textContent.split(' ').at(-1)), found = [];
  for (let n = 0; n < shots; n++) { tap(2); key('PageDown') }
  for (let n = 0; n < shots; n++) key('PageUp');
  for (let n = 0; n < shots; n++) {
    tap(3);
    found.push([document.getElementById('slate').textContent, ...eval(lines)(), eval(layout)().scrolls]);
    tap(0);
    key('PageDown');
  }
  return found;
}"""
"""Every shot is circled, so that its waits run and nothing is missing; then each is rolled again."""


@pytest.mark.parametrize(("width", "height"), [*SIZES, (390, 664)])
def test_the_line_to_say_is_seen_while_a_take_rolls_beside_two_timers(
    browser: Any, supper: Set, width: int, height: int
) -> None:
    """Two lines of it, and nothing else scrolls; 390 by 664 is a phone whose browser shows its bars."""
    with phone(browser, supper.path, bypass_csp=True) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        found = on.page.evaluate(WHILE_IT_ROLLS, [LINES_SEEN, LAYOUT])
        assert on.page.locator("#timers button").count() == 2
        assert len(found) == len(supper.shots)
        assert [one for one in found if one[1] < min(2, one[2]) - 0.1 or one[3]] == []
