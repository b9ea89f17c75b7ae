"""The on-set page in a real browser: taps, reloads, a browser killed as a flat battery would, and the log read back."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from conftest import CHROMIUM, EXAMPLES, QUIET, Table, wait_until

from scriptkit.measure.timecode import RATES, frames_of, label_of
from scriptkit.pack import make_pack
from scriptkit.pages_on_set import gates_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log_reader import read_log
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.shots import Shot, shots_of
from scriptkit.shoot.take_log import COLUMNS, TakeLog, rate_of, without_circled_take, write_log

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

HOSTILE = """
    dish: "</script><script>document.title = 'run'</script>\\u202Eevil\\""
    servings: 2
    ingredients:
      "<img src=x onerror=document.title='run'>": {amount: 30 g, food: olive oil}
      "=HYPERLINK(\\"http://example.invalid\\")": {amount: 3 g, food: salt}
      "a; b, \\"c\\"\\u2028": {amount: 3 g, food: salt}
    steps:
      - {id: "${alert(1)}", stage: cook, do: "{{ page }} <!-- <script>", screen: 20 s, vessel: pan,
         add: ["<img src=x onerror=document.title='run'>", "=HYPERLINK(\\"http://example.invalid\\")", "a; b, \\"c\\"\\u2028"]}
      - {id: "`next`", stage: cook, do: Rest., method: sear, hands: 1 min, screen: 20 s}
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
    return Set(reading.usable(), make_pack(reading).files["shoot-list.html"], folder)


@pytest.fixture
def leeks(tmp_path: Path) -> Set:
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


def test_takes_are_counted_stamped_saved_and_read_back(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.page.get_by_label("Card").fill("A001")
        on.page.get_by_label("Next clip").fill("C0009")
        on.tap("Roll 3A")
        on.page.wait_for_timeout(300)
        assert on.text("#rolling").startswith("Rolling 3A take 1")
        on.tap("NG 3A", "Roll 3A")
        on.page.wait_for_timeout(200)
        on.tap("Circle 3A", "Hold 3B")
        on.page.get_by_label("Remark on take 2").fill('=1+1, "steam"; über ½')
        on.page.get_by_label("Remark on take 2").press("Tab")
        saved = on.save(tmp_path)
        assert on.file_name == "leeks-on-toast-takes.csv"
    log = leeks.read(saved)
    assert log.problems == ()
    told = [
        (t.shot.slate, t.number, t.verdict, t.card, t.clip, [a.ingredient.key for a in t.additions]) for t in log.takes
    ]
    assert told == [
        ("3A", 1, "NG", "A001", "C0009", ["butter"]),
        ("3A", 2, "circled", "A001", "C0010", ["butter"]),
        ("3B", 1, "hold", "A001", "C0011", ["leek"]),
    ]
    first, second, third = log.takes
    rate = rate_of(leeks.source)
    assert 5 <= first.frames <= 60  # 0.3 s, and what a slow machine adds
    assert first.out_frame is not None and second.in_frame is not None and first.out_frame <= second.in_frame
    assert third.in_frame is None  # nobody tapped Roll
    assert second.remark == '=1+1, "steam"; über ½'
    # Wall time and time code are of the same moment, to the second that the wall clock shows.
    hours, minutes, seconds = map(int, second.recorded[11:].split(":"))
    assert abs(second.out_frame - (hours * 3600 + minutes * 60 + seconds) * rate.exact) <= rate.nominal  # type: ignore[operator]
    assert re.search(rb"\d\d:\d\d:\d\d;\d\d", saved.read_bytes())
    # The page writes the same bytes as the program.
    assert saved.read_bytes().decode("utf-8") == write_log(log.takes, leeks.source.name, rate)
    missing = [a.ingredient.key for _, _, a in without_circled_take(log.takes, dishes_of(leeks.source))]
    assert missing == ["leek", "mustard", "salt"]


def test_the_missing_list_follows_the_takes_at_the_top_and_at_every_gate(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert [leeks.shots[n].slate for n, _ in gates_of(leeks.shots)] == ["4A"]
        assert on.missing() == ("2 missing before you go on to 4A", ["butter (3A)", "leek (3B)"])
        assert on.page.locator("#missing").get_attribute("aria-live") == "polite"
        on.tap("Circle 3A", "NG 3B")
        assert on.missing() == ("1 missing before you go on to 4A", ["leek (3B)"])
        assert on.gate("4A") == ("Stop: 1 missing before you go on to 4A", ["leek (3B)"])
        assert on.text("#sign") == "1 missing before you go on to 4A"
        on.tap("Hold 3B")  # a held take does not count
        assert on.missing()[1] == ["leek (3B)"]
        on.tap("Circle 3B")
        assert on.missing() == ("Nothing missing before you go on to 4A", [])
        assert on.gate("4A") == ("Go on: every addition before 4A is circled", [])
        on.tap("Circle 4A")
        assert on.missing() == ("1 missing before the pans are washed", ["salt (4B)"])
        on.tap("1 missing before the pans are washed")  # leads to what is missing
        assert on.page.evaluate("document.activeElement.getAttribute('aria-label')") == "Roll 4B"
        assert on.text("#wrap") == "3 of 4 additions circled, 5 takes"
        on.tap("Undo")
        assert on.missing() == ("Nothing missing before you go on to 4A", [])
        assert on.text("#said") == "Undone: 4A take 1 circled"


def test_the_planted_missing_addition_of_the_supper_is_told_on_the_page_and_by_the_program(
    browser: Any, tmp_path: Path
) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    planted = next(s for s in supper.shots if [a.ingredient.key for a in s.additions] == ["celeriac"])
    with phone(browser, supper.path) as on:
        for shot in supper.shots:
            if shot is not planted:
                on.tap(f"Roll {shot.slate}", f"Circle {shot.slate}")
        assert on.missing() == ("1 missing before the pans are washed", [f"celeriac ({planted.slate})"])
        later = [n for n, _ in gates_of(supper.shots) if n > planted.number]
        assert later
        for n in later:
            assert on.gate(supper.shots[n].slate)[1] == [f"celeriac ({planted.slate})"]
        log = supper.read(on.save(tmp_path))
    assert [p.code for p in log.problems] == []
    missing = without_circled_take(log.takes, dishes_of(supper.source))
    assert [(d.name, a.ingredient.key) for d, _, a in missing] == [("Fennel and celeriac bisque", "celeriac")]


def test_undo_takes_back_one_tap_at_a_time(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        assert on.page.get_by_role("button", name="Undo").get_attribute("aria-disabled") == "true"
        on.page.locator("#undo").press("Enter")
        assert on.text("#said") == "There is nothing to undo"
        on.tap("Roll 3A", "Circle 3A")
        box = on.page.get_by_label("3A done")
        assert box.is_checked()
        on.tap("Undo")
        assert not box.is_checked()
        assert on.text("#wrap") == "0 of 4 additions circled, 0 takes"
        assert on.page.get_by_role("button", name="Roll 3A").get_attribute("aria-pressed") == "true"
        on.tap("Undo")
        assert on.page.get_by_role("button", name="Roll 3A").get_attribute("aria-pressed") == "false"
        assert on.page.get_by_label("Next clip").input_value() == "1"


def test_clearing_asks_twice_and_can_be_undone(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Clear")
        assert on.text("#wrap").endswith("1 take")
        on.tap("Tap again: clears 1 take")
        assert on.text("#wrap").endswith("0 takes")
        on.tap("Undo")
        assert on.text("#wrap").endswith("1 take")


def test_ticks_and_takes_survive_a_reload(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A", "Roll 3B")
        on.page.get_by_label("1A done").check(force=True)  # its label lies over it, as wide as the row
        before = on.missing()
        on.page.reload()
        assert on.missing() == before
        assert on.page.get_by_label("3A done").is_checked()
        assert on.page.get_by_label("1A done").is_checked()
        assert not on.page.get_by_label("2A done").is_checked()
        assert on.page.get_by_role("button", name="Roll 3B").get_attribute("aria-pressed") == "true"
        on.tap("Undo")  # the last take can be taken back after a reload too
        assert on.text("#wrap").endswith("0 takes")
        on.page.reload()
        assert on.text("#wrap").endswith("0 takes")


def processes_of(profile: Path) -> list[int]:
    """Ids of the browser that runs on a profile's folder, and of its helpers."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                words = (entry / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if f"--user-data-dir={profile}".encode() in words:
                found.append(int(entry.name))
    return found


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="finds the browser's processes in /proc")
def test_the_log_survives_a_flat_battery(browser: Any, leeks: Set, tmp_path: Path) -> None:
    """Killed without warning right after the tap: nothing is left to be written later."""
    profile = tmp_path / "profile"

    def start() -> Any:
        for lock in profile.glob("Singleton*"):  # what a killed browser leaves behind
            lock.unlink()
        return browser.browser_type.launch_persistent_context(
            str(profile), executable_path=CHROMIUM, args=QUIET, viewport=PHONE, accept_downloads=True
        )

    context = start()
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(500)
    on.tap("Roll 3A", "Circle 3A", "NG 3B")
    on.page.wait_for_timeout(50)
    victims = processes_of(profile)
    assert victims
    for pid in victims:
        try:
            os.kill(pid, signal.SIGKILL)
        except ProcessLookupError:
            continue  # went with the one before
    try:
        context.close()
    except Exception as gone:  # the browser cannot answer any more
        assert "closed" in str(gone).casefold()
    context = start()
    try:
        on = Phone(context, leeks.path)
        wait_until(on.page, "document.getElementById('wrap').textContent.endsWith('2 takes')")
        log = leeks.read(on.save(tmp_path))
    finally:
        context.close()
    assert [(t.shot.slate, t.verdict) for t in log.takes] == [("3A", "circled"), ("3B", "NG")]
    assert log.problems == ()


def test_a_device_that_keeps_nothing_says_so_and_the_page_still_works(browser: Any, leeks: Set, tmp_path: Path) -> None:
    context = browser.new_context(viewport=PHONE, accept_downloads=True)
    context.add_init_script(
        """Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('refused', 'SecurityError') }});
        IDBFactory.prototype.open = () => { throw new DOMException('refused', 'SecurityError') };"""
    )
    on = Phone(context, leeks.path)
    assert on.text("#kept").startswith("This device keeps nothing")
    on.tap("Circle 3A")
    assert len(leeks.read(on.save(tmp_path)).takes) == 1
    assert on.errors == []
    context.close()


def test_one_full_store_is_no_reason_for_alarm(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"
    )
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(300)
    on.tap("Circle 3A")
    assert on.page.locator("#kept").is_hidden()
    on.page.reload()
    wait_until(on.page, "document.getElementById('wrap').textContent.endsWith('1 take')")
    context.close()


def test_local_storage_alone_keeps_the_log(browser: Any, leeks: Set) -> None:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script("IDBFactory.prototype.open = () => { throw new DOMException('refused', 'SecurityError') }")
    on = Phone(context, leeks.path)
    on.tap("Circle 3A")
    assert on.page.locator("#kept").is_hidden()
    on.page.reload()
    assert on.text("#wrap").endswith("1 take")
    context.close()


def test_another_list_has_another_log(browser: Any, leeks: Set, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    other = make_set(
        LEEKS.replace("mustard", "parsley").replace(', food: "parsley, wholegrain"', ""), tmp_path / "other"
    )
    context = browser.new_context(viewport=PHONE)
    Phone(context, leeks.path).tap("Circle 3A")
    assert Phone(context, other.path).text("#wrap").endswith("0 takes")
    assert Phone(context, leeks.path).text("#wrap").endswith("1 take")
    context.close()


def test_a_saved_log_is_opened_on_another_phone(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A", "Circle 3A", "NG 3B")
        on.page.get_by_label("Remark on take 1").first.fill("-1 stop, 'dark'")
        on.page.get_by_label("Remark on take 1").first.press("Tab")
        saved = on.save(tmp_path).read_bytes()
    with phone(browser, leeks.path) as on:
        on.open_log(saved)
        assert on.text("#said") == "Read 2 takes, 2 of them new"
        assert on.missing()[1] == ["leek (3B)"]
        assert on.page.get_by_label("3A done").is_checked()
        assert on.page.get_by_label("Next clip").input_value() == "3"
        assert on.save(tmp_path).read_bytes() == saved
        on.open_log(saved)
        assert on.text("#said") == "Read 2 takes, 0 of them new"
        assert on.text("#wrap").endswith("2 takes")
        on.tap("Undo", "Undo")
        assert on.text("#wrap").endswith("0 takes")


def log_of(*rows: str, head: str = ",".join(COLUMNS)) -> str:
    return "\r\n".join([head, *rows, ""])


GOOD_ROW = "Leeks on toast,Leeks on toast,1,1,3,A,1,soften,butter,10:00:00;00,10:00:05;00,,circled,"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (log_of(GOOD_ROW.replace("Leeks on toast", "Chowder", 1)), "Line 2: this log is of “Chowder”, not of “Leeks on toast”"),
        (log_of(GOOD_ROW, GOOD_ROW.replace("soften", "sear")), "Line 3: 3A is not “Leeks on toast, sear”"),
        (log_of(GOOD_ROW.replace("butter", "cream")), "Line 2: “cream” is not added at 3A"),
        (log_of(GOOD_ROW.replace(",3,A,", ",33,A,")), "Line 2: there is no shot 33A"),
        (log_of(GOOD_ROW.replace("circled", "great")), "Line 2: “great” is no verdict"),
        (log_of(GOOD_ROW.replace("10:00:05;00", "10:01:00;00")), "Line 2: “10:01:00;00” is no time code"),
        (log_of(GOOD_ROW.replace("10:00:05;00", "0.427")), "Line 2: “0.427” is no time code"),
        (log_of(GOOD_ROW.replace(",A,1,", ",A,one,")), "Line 2: “one” is no take number"),
        (log_of(GOOD_ROW)[:-30] + "\r\n", "Line 2: the log is cut off"),
        (log_of(GOOD_ROW) + '"Leeks', "The file is cut off"),
        ("", "This is no take log"),
        ("<html><script>alert(1)</script>", "This is no take log"),
        ("\x00\x01\xff", "This is no take log"),
    ],
)  # fmt: skip
def test_a_log_that_does_not_belong_here_is_refused_whole(browser: Any, leeks: Set, content: str, told: str) -> None:
    with phone(browser, leeks.path) as on:
        on.open_log(content)
        assert told in on.text("#refused")
        assert on.page.locator("#refused").get_attribute("role") == "alert"
        assert on.text("#wrap").endswith("0 takes")


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_log_that_a_spreadsheet_saved_is_opened(browser: Any, leeks: Set, separator: str) -> None:
    rows = list(csv.reader(io.StringIO(log_of(GOOD_ROW))))
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows([[c.upper() for c in rows[0]], *rows[1:]])
    with phone(browser, leeks.path) as on:
        on.open_log("\ufeff" + out.getvalue())
        assert on.text("#said") == "Read 1 take, 1 of them new"
        assert on.text(".told:not(:empty)").startswith("1 circled 10:00:00;00–10:00:05;00")


def test_the_pages_time_code_is_the_programs(browser: Any, tmp_path: Path) -> None:
    """Each rate's first and last labels of minutes, and every hour's, opened as a log and saved again."""
    for rate in (RATES["25"], RATES["29.97 drop"], RATES["59.94"]):
        folder = tmp_path / rate.name
        folder.mkdir()
        on_set = make_set(LEEKS.replace("29.97 drop", rate.name), folder)
        day = rate.frames_ten_minutes * 144
        minutes = [m * rate.frames_ten_minutes // 10 for m in range(0, 1440, 37)]
        frames = sorted({(f + d) % day for f in (0, *minutes) for d in (-1, 0, 1, 2)})
        cells = [[*GOOD_ROW.split(",")[:9], label_of(f, rate), label_of(f, rate), "", "NG", ""] for f in frames]
        assert all(frames_of(c[9], rate) == f for c, f in zip(cells, frames, strict=True))
        content = log_of(*[",".join(c) for c in cells])
        with phone(browser, on_set.path) as on:
            on.open_log(content)
            assert on.text("#refused" if on.page.locator("#refused").is_visible() else "#said").startswith("Read ")
            assert on.save(folder).read_text(encoding="utf-8-sig").splitlines() == content.splitlines()


def test_everything_works_with_the_keyboard_and_focus_stays(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        reached = []
        for _ in range(200):
            on.page.keyboard.press("Tab")
            name = on.page.evaluate(
                "document.activeElement.getAttribute('aria-label') || document.activeElement.id || document.activeElement.labels?.[0]?.textContent || document.activeElement.textContent"
            )
            if name in reached:
                break
            reached.append(name)
            if name == "Roll 3A":
                break
        assert reached[:6] == ["card", "clip", "Save log", "log", "Clear", "undo"]
        assert "Circle 1A" in reached and reached[-1] == "Roll 3A"
        on.page.keyboard.press("Enter")
        focus = "document.activeElement.getAttribute('aria-label')"
        assert on.page.evaluate(focus) == "Roll 3A"
        assert on.page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        on.page.keyboard.press("Tab")
        on.page.keyboard.press("Space")
        assert on.page.evaluate(focus) == "Circle 3A"
        assert on.text("#said") == "3A take 1 circled"
        assert on.missing()[1] == ["leek (3B)"]
        on.page.get_by_role("button", name="Undo").focus()
        on.page.keyboard.press("Enter")
        on.page.keyboard.press("Enter")
        assert on.page.evaluate("document.activeElement.id") == "undo"
        assert on.page.locator("#undo").get_attribute("aria-disabled") == "true"


@pytest.mark.parametrize("width", [320, 390, 794])
def test_every_target_is_wide_enough_for_a_thumb(browser: Any, leeks: Set, width: int) -> None:
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": width, "height": 844})
        on.tap("Circle 3A")
        small = on.page.evaluate(
            """[...document.querySelectorAll('button, .file, input:not(.unseen, [type=checkbox])')].filter(e => e.getClientRects().length)
            .map(e => [e.outerHTML.slice(0, 60), e.getBoundingClientRect()]).filter(([, r]) => r.width < 44 || r.height < 44).map(([n]) => n)"""
        )
        assert small == []  # CSS pixels: target size, WCAG 2.2 success criterion 2.5.5
        assert on.page.evaluate("document.documentElement.scrollWidth") <= width


def test_hostile_names_are_text_on_the_page_and_come_back_from_the_log(browser: Any, tmp_path: Path) -> None:
    hostile = make_set(HOSTILE, tmp_path)
    with phone(browser, hostile.path) as on:
        slates = [s.slate for s in hostile.shots if s.additions]
        for slate in slates:
            on.tap(f"Circle {slate}")
        assert on.page.title() != "run"
        assert on.page.locator("img, iframe").count() == 0
        saved = on.save(tmp_path)
        assert on.file_name == "script-script-document-title-run-script-evil-takes.csv"
        log = hostile.read(saved)
        assert log.problems == ()
        assert [a.ingredient.key for t in log.takes for a in t.additions] == [
            i.key for d in dishes_of(hostile.source) for i in d.ingredients
        ]
        assert not any(
            cell.startswith(("=", "+", "-", "@"))
            for row in csv.reader(io.StringIO(saved.read_text(encoding="utf-8-sig")))
            for cell in row
        )
        on.open_log(saved.read_bytes())
        assert on.text("#said") == "Read 3 takes, 0 of them new"


def test_a_script_that_was_slipped_in_does_not_run(browser: Any, leeks: Set) -> None:
    html = leeks.path.read_text(encoding="utf-8")
    leeks.path.write_text(
        html.replace(
            "</h1>", "</h1><script>document.title = 'run'</script><img src=x onerror=\"document.title='run'\">"
        ),
        encoding="utf-8",
    )
    context = browser.new_context(viewport=PHONE)
    on = Phone(context, leeks.path)
    on.page.wait_for_timeout(100)
    assert on.page.title() != "run"
    assert on.page.locator("#bar").is_visible()  # while the page's own script does
    context.close()


def test_in_print_it_is_the_shoot_list_without_its_buttons(browser: Any, leeks: Set) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Circle 3A")
        on.page.emulate_media(media="print")
        assert (
            on.page.locator("button:visible, .gate:visible, .takes:visible, #on-set:visible, #bar:visible").count() == 0
        )
        assert on.page.locator("tr.shot:visible").count() == len(leeks.shots)


@pytest.mark.parametrize("width", [390, 794])
def test_axe_finds_nothing_serious(browser: Any, leeks: Set, width: int) -> None:
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        if os.environ.get("CI"):
            pytest.fail("axe-playwright-python is not installed, and this must not be skipped in CI")
        pytest.skip("axe-playwright-python is not installed")
    with phone(browser, leeks.path) as on:
        on.page.set_viewport_size({"width": width, "height": 844})
        on.tap("NG 3A", "Circle 3A", "Roll 3B")
        on.open_log("no log")
        found = Axe().run(on.page).response
        assert len(found["passes"]) > 10
        grave = [
            (v["id"], v["impact"], v["nodes"][0]["html"][:100])
            for v in found["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        assert grave == []


def test_the_page_is_light(tmp_path: Path) -> None:
    """Under 150 kB for 300 rows, and every row still has its shot."""
    from speed.on_set import long_day

    on_set = make_set(long_day(), tmp_path)
    html = on_set.path.read_text(encoding="utf-8")
    assert html.count("class=tick") == len(on_set.shots) > 290
    assert len(html.encode("utf-8")) < 150_000
    data = json.loads(re.search(r'id="shots">(.*?)</script>', html).group(1))  # type: ignore[union-attr]
    assert [row[0] for row in data["shots"]] == [s.slate for s in on_set.shots]
