"""Measure the stage page in Chromium with a processor four times slower, on a list of 300 rows.

    python -m tests.speed.stage [RUNS]

Prints how large the page is, how long its script takes to be ready, and how long taps take to be handled, from the finger on: the
first, and the slowest of those that follow; then the processor time of the same taps, which other programs of a busy machine
lengthen little. Asserts nothing, for a busy machine is no defect.
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
window.taps = [];
new PerformanceObserver(found => { for (const e of found.getEntries()) if (e.name === 'click')
  taps.push([e.processingEnd - e.startTime, e.duration]); }).observe({type: 'event', durationThreshold: 16, buffered: true});
"""
TAPS = ("#hands button:nth-child(4)", "#hands button:nth-child(3)", "#next", "#list", "#rows ul:first-child li:nth-child(9) button",
        "#hands button:nth-child(3)", "#undo", "#change")  # fmt: skip
"""Roll, Circle, Next, the list, a shot of it, Circle, Undo, Change."""


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


def measure(browser: Any, address: str) -> tuple[float, float, float, float]:
    """Milliseconds: until the script is ready, until the first tap is handled and painted, and the slowest of the others handled."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.add_init_script(WATCH)
    page.goto(address)
    ready = page.evaluate("performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd")
    for n, tap in enumerate(TAPS, 1):
        page.wait_for_timeout(400)
        page.locator(tap).click()
        page.wait_for_timeout(400)
        if n == 1:
            while not page.evaluate("window.taps.length"):
                page.wait_for_timeout(20)
    taps = page.evaluate("window.taps")
    context.close()
    return ready, *taps[0], max((handled for handled, _ in taps[1:]), default=0.0)  # one below 16 ms is not told


def work(browser: Any, address: str) -> tuple[float, float]:
    """Milliseconds that a processor so much slower works on the first tap, and on the slowest of the others."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.goto(address)
    page.wait_for_timeout(3000)  # the rows of the list are made
    told: list[dict[str, Any]] = []
    over: list[bool] = []
    session = context.new_cdp_session(page)
    session.on("Tracing.dataCollected", lambda more: told.extend(more["value"]))
    session.on("Tracing.tracingComplete", lambda _: over.append(True))
    session.send("Tracing.start", {"transferMode": "ReportEvents", "traceConfig": {"includedCategories": ["devtools.timeline"]}})  # fmt: skip
    for tap in TAPS:
        page.locator(tap).click()
        page.wait_for_timeout(600)
    session.send("Tracing.end")
    while not over:
        page.wait_for_timeout(20)
    context.close()
    clicks = [e for e in told if e["name"] == "EventDispatch" and e["args"]["data"]["type"] == "click"]
    first, *others = [e.get("tdur", e["dur"]) / 1000 * SLOWER for e in sorted(clicks, key=lambda e: e["ts"])]
    return first, max(others)


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
        page = Path(folder) / "stage.html"
        production = read(str(source))
        page.write_text(make_pack(production).files[page.name], encoding="utf-8", newline="")
        yield Measured(f"the page with {len(production.shots)} rows", page.stat().st_size / 1000, "kB", 220)
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        found = [measure(browser, page.as_uri()) for _ in range(runs)]
        worked = [work(browser, page.as_uri()) for _ in range(runs)]
        browser.close()
    ready, handled, painted, slowest = (statistics.median(times) for times in zip(*found, strict=True))
    yield Measured("script ready", ready, "ms")
    yield Measured("first tap handled", handled, "ms", 80)
    yield Measured("first tap painted", painted, "ms")
    yield Measured("slowest later tap handled", slowest, "ms", 50)
    first, later = (statistics.median(times) for times in zip(*worked, strict=True))
    yield Measured("first tap, processor time", first, "ms", 80)
    yield Measured("slowest later tap, processor time", later, "ms", 50)


if __name__ == "__main__":
    show("the stage page", lines(int(sys.argv[1]) if len(sys.argv) > 1 else 5))
