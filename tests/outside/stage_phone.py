"""What the tests of the stage page share: the page on the disk, a phone that opens it, and a thumb."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from conftest import EXAMPLES, Table, wait_until

from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.stage_taps import StageEvent, event_of
from scriptkit.shoot.log.take_log import COLUMNS, TakeLog
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import Shot, shots_of

PHONE = {"width": 390, "height": 844}
LEEKS = """
    dish: Leeks on toast
    servings: 2
    film: {frame_rate: "29.97 drop"}
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
      salt: to taste
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min, screen: 6 s, say: "Slice it."}
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir it in., add: {mustard: all, salt: to taste}, vessel: wide pan, screen: 14 s}
"""


class Set:
    """A stage page on the disk, and the recipe it was made from."""

    def __init__(self, source: Dish | Meal, html: str, folder: Path) -> None:
        self.source = source
        self.shots: tuple[Shot, ...] = shots_of(plan_of(source))
        self.path = folder / "stage.html"
        self.path.write_text(html, encoding="utf-8", newline="")

    def read(self, saved: Path) -> TakeLog:
        return read_log(saved.read_bytes(), "takes.csv", self.source, self.shots)


def make_set(text: str, folder: Path) -> Set:
    """Of YAML, or of an example's name."""
    reading = read_source(str(EXAMPLES / text)) if text.endswith(".yaml") else Table(folder).read(text)
    return Set(reading.usable(), make_pack(Production(reading)).files["stage.html"], folder)


def leeks_on_toast(tmp_path: Path) -> Set:
    """A fixture by ``pytest.fixture(leeks_on_toast)``: the stage page of LEEKS."""
    return make_set(LEEKS, tmp_path)


CLOCK = """window.skew = 0; window.settled = 0; window.steady = false; window.stopped = false;
for (const of of [Date, performance]) {
  const own = of.now.bind(of);
  let last = own();
  of.now = () => { if (!window.stopped) last = own(); return last + window.skew + (of === performance ? window.settled : 0) };
}"""
"""A clock that a test puts forward; each tap does, so that none is a double tap. ``steady``: the clock on the wall stays as it is;
``stopped``: time passes only where the test says so, however slow the machine is."""
STORED = """async least => {
  const done = asked => new Promise((kept, lost) => { asked.onsuccess = () => kept(asked.result); asked.onerror = lost });
  const disk = await done(indexedDB.open('scriptkit-stage', 1));
  try { return disk.objectStoreNames.length > 0 && (await done(disk.transaction('events').objectStore('events').getAll())).filter(e => e.k).length >= least }
  finally { disk.close() } }"""
"""Whether the disk has so many events: a transaction that can be read has been written."""
GO = """async slate => {
  const at = () => document.getElementById('slate').textContent;
  if (at() === slate) return true;
  document.getElementById('list').click();
  for (let n = 0; n < 500; n++) {
    const found = [...document.querySelectorAll('#rows button')].find(b => b.querySelector('b').textContent === slate);
    if (found) { found.click(); return at() === slate }
    await new Promise(done => setTimeout(done, 5));
  }
  return false }"""
TAP = """([name, inside]) => {
  window[window.steady ? 'settled' : 'skew'] += 400;
  const found = [...(document.querySelector('dialog[open]') || document).querySelectorAll(inside + ' button')].find(b => b.getClientRects().length && [b.textContent.trim().split(/\\s+/).join(' '), b.ariaLabel].includes(name));
  if (!found) return 'no button ' + name;
  found.scrollIntoView({block: 'nearest'});
  const r = found.getBoundingClientRect(), top = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
  if (!found.contains(top)) return name + ' lies under ' + (top ? top.outerHTML.slice(0, 80) : 'nothing');
  found.click();
  return '' }"""
KEPT = """() => Object.keys(localStorage).filter(k => k.includes(':log:')).flatMap(k => JSON.parse(localStorage.getItem(k)))"""


class Phone:
    """The page in a context of its own, and what a thumb does on it. Its clock can be put forward."""

    def __init__(self, context: Any, path: Path | str, *, at_once: str = "") -> None:
        """``at_once``: a script that runs before the page's own, after the clock was made."""
        self.page = context.new_page()
        self.page.add_init_script(CLOCK + at_once)
        self.asked: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda wrong: self.errors.append(str(wrong)))
        self.page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        self.page.goto(path.as_uri() if isinstance(path, Path) else path)

    def reload(self) -> None:
        """Until the page has what it had: on a busy machine a browser may hand over local storage late, and the disk brings it."""
        undo = "document.getElementById('undo').ariaDisabled"
        before = self.page.evaluate(undo)
        self.page.reload()
        wait_until(self.page, f"{undo} === '{before}'")

    def go(self, slate: str) -> None:
        """By the list, as one who knows where to."""
        assert self.page.evaluate(GO, slate), f"no shot {slate}"

    def later(self, ms: int) -> None:
        """Put the clock forward; what the page does each quarter of a second is done, as when a device wakes up."""
        self.page.evaluate("ms => { window.skew += ms; document.dispatchEvent(new Event('visibilitychange')) }", ms)

    def stop_clock(self) -> None:
        """From here on time passes by ``later`` and by taps alone."""
        self.page.evaluate("window.stopped = true")

    def on_disk(self, events: int) -> None:
        """Wait until the second copy of so many taps is written, which is what outlives the first."""
        wait_until(self.page, f"({STORED})({events})")

    def press(self, name: str, inside: str = "") -> None:
        """A button by its name, which nothing may lie over."""
        wrong = self.page.evaluate(TAP, [name, inside])
        assert not wrong, wrong

    def tap(self, *names: str) -> None:
        """Buttons by their names; those of a take, such as ``Circle 3A``, at their shot. What no button offers at rest is logged or
        changed in its sheet."""
        for name in names:
            word, _, slate = name.partition(" ")
            if word not in ("Roll", "Circle", "Hold", "NG") or not re.fullmatch(r"\d+[A-Z]+", slate):
                self.press(name)
                continue
            self.go(slate)
            hands = self.page.evaluate(
                "[...document.querySelectorAll('#hands button')].filter(b => b.ariaDisabled !== 'true').map(b => b.textContent)"
            )
            offered = next((text for text in hands if text.startswith(word)), "")
            if offered:
                self.press(f"{offered} {slate}", "#hands")
            else:
                self.press("Change" if self.text("#change") == "Change" else "Log")
                self.press("Circled" if word == "Circle" else word, "#verdicts")
                self.press("Done")

    def next(self) -> None:
        """On to the shot that is named at the bottom."""
        self.press(" ".join(str(self.page.locator("#next").text_content()).split()))

    def text(self, of: str) -> str:
        return str(self.page.locator(of).text_content())

    def state(self, slate: str) -> str:
        """What the page says of the shot."""
        self.go(slate)
        return self.text("#state")

    def gate(self) -> str:
        """What must be filmed before the cook goes on; empty while nothing is due."""
        sign = self.page.locator("#gate")
        return str(sign.text_content()) if sign.is_visible() else ""

    def desk(self) -> None:
        self.page.evaluate("document.getElementById('list').click()")
        self.press("Log and settings")

    def count(self) -> str:
        """How many additions are circled, and how many takes there are."""
        self.page.evaluate("document.getElementById('list').click()")
        found = self.text("#found")
        self.press("Close")
        return found

    def save(self, folder: Path) -> Path:
        self.desk()
        with self.page.expect_download() as download:
            self.press("Save log")
        self.file_name = download.value.suggested_filename
        target = folder / "saved.csv"
        download.value.save_as(target)
        self.press("Close")
        return target

    def open_log(self, content: str | bytes) -> str:
        """What the page says when it has read the log; and the sheet stays open."""
        raw = content.encode("utf-8") if isinstance(content, str) else content
        self.desk()
        self.page.evaluate("document.getElementById('said').textContent = ''")
        self.page.set_input_files("#log", {"name": "log.csv", "mimeType": "text/csv", "buffer": raw})
        wait_until(
            self.page,
            "document.getElementById('log').value === '' && (!document.getElementById('refused').hidden || /^Read/.test(document.getElementById('said').textContent))",
        )
        return self.text("#said")

    def refused(self) -> list[str]:
        return [t for t in self.page.locator("#refused li").all_text_contents() if t]

    def events(self) -> list[StageEvent]:
        """What the device keeps."""
        return [event_of(json.loads(json.dumps(raw))) for raw in self.page.evaluate(KEPT)]


@contextmanager
def phone(browser: Any, path: Path, **options: Any) -> Iterator[Phone]:
    context = browser.new_context(viewport=PHONE, has_touch=True, accept_downloads=True, **options)
    try:
        opened = Phone(context, path)
        yield opened
        assert opened.errors == []
        assert {a for a in opened.asked if not a.startswith(("blob:", "data:"))} == {path.as_uri()}
    finally:
        context.close()


def log_of(*rows: str, head: str = ",".join(COLUMNS)) -> str:
    return "\r\n".join([head, *rows, ""])


GOOD_ROW = "Leeks on toast,Leeks on toast,1,1,3,A,1,soften,butter,10:00:00;00,10:00:05;00,,circled,,"
