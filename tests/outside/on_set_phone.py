"""What the tests of the on-set page share: a shoot list on the disk, a phone that opens it, and a thumb."""

from __future__ import annotations

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
    """A shoot list on the disk, and the recipe it was made from."""

    def __init__(self, source: Dish | Meal, html: str, folder: Path) -> None:
        self.source = source
        self.shots: tuple[Shot, ...] = shots_of(plan_of(source))
        self.path = folder / "shoot-list.html"
        self.path.write_text(html, encoding="utf-8", newline="")

    def read(self, saved: Path) -> TakeLog:
        return read_log(saved.read_bytes(), "takes.csv", self.source, self.shots)


def make_set(text: str, folder: Path) -> Set:
    """Of YAML, or of an example's name."""
    reading = read_source(str(EXAMPLES / text)) if text.endswith(".yaml") else Table(folder).read(text)
    return Set(reading.usable(), make_pack(Production(reading)).files["shoot-list.html"], folder)


def leeks_on_toast(tmp_path: Path) -> Set:
    """A fixture by ``pytest.fixture(leeks_on_toast)``: the shoot list of LEEKS."""
    return make_set(LEEKS, tmp_path)


class Phone:
    """The page in a context of its own, and what a thumb does on it."""

    def __init__(self, context: Any, path: Path) -> None:
        self.page = context.new_page()
        self.asked: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda wrong: self.errors.append(str(wrong)))
        self.page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        self.page.goto(path.as_uri())

    def tap(self, *names: str) -> None:
        for name in names:
            self.page.get_by_role("button", name=name, exact=True).click()

    def text(self, of: str) -> str:
        return str(self.page.locator(of).inner_text())

    def missing(self) -> tuple[str, list[str]]:
        names = [n for n in self.page.locator("#missing-names li").all_inner_texts() if n]
        return self.text("#missing-head"), names

    def gate(self, slate: str) -> tuple[str, list[str]]:
        """The gate before a shot: its sign and its list."""
        self.page.wait_for_timeout(100)  # gates other than the next one are filled in small turns
        row = self.page.locator("tr.shot", has=self.page.get_by_text(f"{slate} done", exact=True))
        gate = row.locator("xpath=preceding-sibling::tr[1]")
        assert "gate" in gate.get_attribute("class")
        return gate.locator("p").inner_text(), gate.locator("li").all_inner_texts()

    def save(self, folder: Path) -> Path:
        with self.page.expect_download() as download:
            self.tap("Save log")
        self.file_name = download.value.suggested_filename
        target = folder / "saved.csv"
        download.value.save_as(target)
        return target

    def open_log(self, content: str | bytes) -> None:
        raw = content.encode("utf-8") if isinstance(content, str) else content
        self.page.set_input_files("#log", {"name": "log.csv", "mimeType": "text/csv", "buffer": raw})
        wait_until(
            self.page,
            "document.getElementById('log').value === '' && (!document.getElementById('refused').hidden || /^Read/.test(document.getElementById('said').textContent))",
        )


@contextmanager
def phone(browser: Any, path: Path, **options: Any) -> Iterator[Phone]:
    context = browser.new_context(viewport=PHONE, has_touch=True, accept_downloads=True, **options)
    try:
        opened = Phone(context, path)
        yield opened
        assert opened.errors == []
        assert {a for a in opened.asked if not a.startswith("blob:")} == {path.as_uri()}
    finally:
        context.close()


def log_of(*rows: str, head: str = ",".join(COLUMNS)) -> str:
    return "\r\n".join([head, *rows, ""])


GOOD_ROW = "Leeks on toast,Leeks on toast,1,1,3,A,1,soften,butter,10:00:00;00,10:00:05;00,,circled,"
