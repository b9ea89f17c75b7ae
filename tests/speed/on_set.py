"""Measure the on-set page in Chromium with a processor four times slower, on a list of 300 rows.

    python -m tests.speed.on_set [RUNS]

Prints how large the page is, how long its script takes to be ready, and how long the first tap takes to be handled and to
be painted; asserts nothing, for a busy machine is no defect.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from scriptkit.pack import make_pack
from scriptkit.production import read
from tests.chromium import CHROMIUM, QUIET
from tests.speed.measured import Measured, show

SLOWER = 4
STEPS = 98

WATCH = """
new PerformanceObserver(found => { for (const e of found.getEntries()) if (e.name === 'click')
  window.tapped = [e.processingEnd - e.startTime, e.duration]; }).observe({type: 'event', durationThreshold: 16, buffered: true});
"""


def long_day() -> str:
    """A dish whose list has about 300 rows: two additions and an action at each step."""
    ingredients = [
        f'  "ingredient number {2 * n}": {{amount: 30 g, food: olive oil}}\n  "ingredient number {2 * n + 1}": {{amount: 5 g, food: salt}}'
        for n in range(STEPS)
    ]
    steps = [
        f"  - {{id: step-of-{n}, stage: cook, do: Stir it in and let it soften without colour., vessel: wide pan, heat: medium, "
        f"hands: 1 min, screen: 12 s, add: [ingredient number {2 * n}, ingredient number {2 * n + 1}]}}"
        for n in range(STEPS)
    ]
    return "\n".join(["dish: A long day", "servings: 4", "ingredients:", *ingredients, "steps:", *steps])


def measure(browser: Any, address: str) -> tuple[float, float, float]:
    """Milliseconds: until the script is ready, until the first tap is handled, until it is painted."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.add_init_script(WATCH)
    page.goto(address)
    ready = page.evaluate("performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd")
    page.get_by_role("button", name="Circle 2A", exact=True).click()
    while not (tapped := page.evaluate("window.tapped")):
        page.wait_for_timeout(20)
    handled, painted = tapped
    context.close()
    return ready, handled, painted


def lines(runs: int) -> Iterator[Measured]:
    """Size of the page; medians of what a tap takes."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        return
    if CHROMIUM is None:
        return
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        source = Path(folder) / "long-day.yaml"
        source.write_text(long_day(), encoding="utf-8")
        page = Path(folder) / "shoot-list.html"
        page.write_text(make_pack(read(str(source))).files[page.name], encoding="utf-8", newline="")
        rows = page.read_text(encoding="utf-8").count("class=tick")
        yield Measured(f"the page with {rows} rows", page.stat().st_size / 1000, "kB", 220)
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        found = [measure(browser, page.as_uri()) for _ in range(runs)]
        browser.close()
    ready, handled, painted = (statistics.median(times) for times in zip(*found, strict=True))
    yield Measured("script ready", ready, "ms")
    yield Measured("first tap handled", handled, "ms", 100)
    yield Measured("first tap painted", painted, "ms")


if __name__ == "__main__":
    show("the on-set page", lines(int(sys.argv[1]) if len(sys.argv) > 1 else 5))
