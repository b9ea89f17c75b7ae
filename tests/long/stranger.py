"""A stranger at the kitchen's laptop: commands with slips of the hand, files changed meanwhile, clicks on the served pages, keys in a
terminal, answers saved from a page and commands copied from one. After each act every file that nobody named is as it was."""

from __future__ import annotations

import html
import json
import os
import pty
import random
import re
import shlex
import shutil
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from conftest import EXAMPLES, ROOT
from forked import Left, forked
from slips import DISHES, GIVEN, OWN, SLIPS, Shot, a_command, a_tap, slipped, stays_here

CTRL_C: dict[str, Any] = {"preexec_fn": lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)}
"""A suite that was started in the background has Ctrl-C ignored, and hands that down."""
WAIT_S = 600
"""For one command: a bound for what hangs, not for a busy machine."""
ANEW = 0.1
"""Of commands, how many are started as they are installed; the rest in a copy of a process that has read its tables already."""
KEYS = "12345678osblwaq?x 3\n\n200 g\n"
TAKES_ON = ("-taps.jsonl",)


class Visit:
    """A folder with the examples and a person's own files, and what went wrong there."""

    def __init__(self, seed: str, folder: Path) -> None:
        self.seed, self.chance, self.folder = seed, random.Random(seed), folder / "kitchen"
        self.wrong: list[str] = []
        self.did: Counter[str] = Counter()
        self.ours: dict[str, set[bytes]] = {}
        self.server: subprocess.Popen[str] | None = None
        self.shots: list[Shot] = [("2A", "a\tb\t+butter", ["butter"])]
        self.link, self.taps, self.answered = "", 0, set[str]()
        self.folder.mkdir(parents=True)
        for name in GIVEN:
            shutil.copy(EXAMPLES / name, self.folder)
        for name, text in OWN.items():
            (self.folder / name).parent.mkdir(exist_ok=True)
            (self.folder / name).write_text(text, encoding="utf-8")
        self.environment = os.environ | {"PYTHONPATH": str(ROOT), "COLUMNS": "100"}

    # --- what is there before and after

    def files(self) -> dict[str, bytes]:
        found = {}
        for path in self.folder.parent.rglob("*"):
            if path.is_file() and not path.name.endswith(".csv.new"):
                found[
                    path.relative_to(self.folder).as_posix() if path.is_relative_to(self.folder) else f"../{path.name}"
                ] = path.read_bytes()
        return found

    def hold(
        self, before: dict[str, bytes], told: str, may: set[str], words: list[str], *, could_not: bool = False
    ) -> None:
        """Compares what is there with what was. ``may``: what is changed by its name; ``could_not``: nothing may change."""
        after = self.files()
        if could_not and before != after:
            self.fault(
                told,
                f"exit 2, and {sorted(n for n in before.keys() | after.keys() if before.get(n) != after.get(n))} changed",
            )
        for name, was in before.items():
            now = after.get(name)
            if (
                now == was
                or not was
                or name in may
                or was in self.ours.get(name, ())
                or Path(name).name.startswith(".")
            ):
                continue
            if name.endswith(TAKES_ON) and now is not None and now.startswith(was):
                continue
            if name.endswith("-takes.csv") and any(
                is_kept_as(other, name) and raw == was for other, raw in after.items()
            ):
                continue
            self.fault(told, f"{name} was {'lost' if now is None else 'written over'}")
        for name, raw in after.items():
            if before.get(name) != raw and name not in may and words[:1] != ["new"]:
                self.ours.setdefault(name, set()).add(raw)
            if name not in before and not self.may_be_new(name, words):
                self.fault(told, f"{name} is new, and nobody asked for it")
            if "/.writing-" in f"/{name}":
                self.fault(told, f"left {name}")

    def may_be_new(self, name: str, words: list[str]) -> bool:
        last = Path(name).name
        if (
            "." in words
            or last.startswith(".")
            or last.endswith((".published.json", ".schema.json"))
            or words[:1] == ["new"]
        ):
            return True
        given = [re.sub(r"^(-o|--[a-z]+=)", "", w) for w in words]  # of `"-o notes"` the folder keeps its blank
        parents = {os.path.normpath(p) for w in (*given, *map(str.strip, given)) if w for p in (w, str(Path(w).parent))}
        return (
            any(parent in map(str, (Path(name), *Path(name).parents)) for parent in parents if parent != ".")
            or "/" not in name
        )

    def fault(self, told: str, what: str) -> None:
        self.wrong.append(f"{self.seed}: {told}: {what}")

    # --- acts

    def act(self) -> None:
        acts: list[tuple[int, Callable[[], None]]] = [
            (38, self.commands), (12, self.works), (22, self.taps_a_page), (6, self.opens_a_page), (5, self.serves), (7, self.confirms), (6, self.answers_a_page), (4, self.copies_a_command),
        ]  # fmt: skip
        self.chance.choices([a for _, a in acts], [w for w, _ in acts])[0]()

    def commands(self) -> None:
        words = a_command(self.chance)
        while self.chance.random() < 0.55:
            words = slipped(self.chance, words) or ["check"]
        self.runs(words, "command")

    def runs(self, words: list[str], kind: str) -> None:
        if not stays_here(words) or "serve" in words[:1]:
            return
        self.did[kind] += 1
        told, before = shlex.join(words), self.files()
        done = self.a_process(words) if self.chance.random() < ANEW else forked(words, self.folder, WAIT_S)
        self.did[f"exit {done.code}"] += 1
        self.judge(done.code, done.errors, told)
        self.hold(before, told, self.named(words, before), words, could_not=done.code == 2)

    def a_process(self, words: list[str]) -> Left:
        """The command as it is installed, with the process that watches over it."""
        self.did["in a new process"] += 1
        try:
            done = subprocess.run(
                [sys.executable, "-m", "scriptkit", *words], cwd=self.folder, env=self.environment, stdin=subprocess.DEVNULL, capture_output=True,
                encoding="utf-8", errors="replace", check=False, timeout=WAIT_S,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            return Left(-1, f"no end after {WAIT_S} s")
        return Left(done.returncode, done.stderr)

    def judge(self, code: int, errors: str, told: str) -> None:
        if code not in (0, 1, 2):
            self.fault(told, f"exit {code}: {errors[-300:]}")
        if "Traceback" in errors or "scriptkit itself has a fault" in errors:
            self.fault(told, errors[-500:])
        if code == 2 and not errors.strip():
            self.fault(told, "exit 2 without a word")

    def named(self, words: list[str], before: dict[str, bytes]) -> set[str]:
        """What the command may change in its place, because it names it for that."""
        names = {os.path.normpath(re.sub(r"^(-o|--[a-z]+=)", "", w).strip()) for w in words if w}
        command = words[0] if words else ""
        if command == "confirm":
            return names
        if command == "coverage" and any(w.startswith("--accept") for w in words):
            sources = {n for n in names if n in before and n.endswith(".yaml")}
            return sources | {
                n for n in before if n.endswith(".yaml") and any(n.encode() in before[s] for s in sources)
            }
        if "--force" in words:
            inside = {n for n in before for p in names if p != "." and (n == p or n.startswith(f"{p}/"))}
            return inside | (
                {n for n in before if "/" not in n and n not in GIVEN and n not in OWN} if "." in names else set()
            )
        paths = [os.path.normpath(re.sub(r"^--fix=", "", w).strip()) for w in words[1:] if w]
        return {n for n in paths if paths.count(n) > 1} if command == "proof" else set()

    def works(self) -> None:
        """The person changes a file, makes one, moves one, throws one away, or begins anew with an example."""
        self.did["work"] += 1
        there = [
            n
            for n in self.files()
            if not Path(n).name.startswith(".") and not n.startswith("../") and not n.endswith(TAKES_ON)
        ]
        name = self.chance.choice(
            [*there, *(n for n in there if n.endswith(".yaml")), "out/shoot-list.html", "overlays.vtt", "answers.json"]
        )
        place, what = self.folder / name, self.chance.randrange(8)
        if what == 0 and place.is_file():
            place.unlink()
        elif what == 1 and place.is_file():
            place.replace(place.with_name(f"old-{place.name}"[-60:]))
        elif what in (2, 3):
            shutil.copy(EXAMPLES / self.chance.choice(GIVEN), self.folder)
        elif what == 4 and place.is_file():
            text = place.read_text(encoding="utf-8", errors="replace")
            at = self.chance.randrange(len(text) + 1)
            place.write_text(
                text[:at] + self.chance.choice(SLIPS) + text[at + self.chance.randrange(2) :], encoding="utf-8"
            )
        elif place.parent.is_dir() or not any(p.is_file() for p in place.parents):
            place.parent.mkdir(parents=True, exist_ok=True)
            with place.open("ab") as file:
                file.write(b"# mine\n")

    # --- the served pages

    def serves(self) -> None:
        """Starts the server, or ends it: as by Ctrl-C, or by a power cut."""
        self.did["serve"] += 1
        if self.server is None:
            self.starts(self.chance.choice(DISHES))
        elif self.chance.random() < 0.7:
            self.stops()
        else:
            os.killpg(self.server.pid, signal.SIGKILL)
            self.server.communicate()
            self.server = None

    def starts(self, dish: str) -> None:
        before = self.files()
        words = ["serve", dish, "-o", "day", "--address", "127.0.0.1", "--watch"]
        self.server = subprocess.Popen(
            [sys.executable, "-m", "scriptkit", *words], cwd=self.folder, env=self.environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, encoding="utf-8", start_new_session=True, **CTRL_C,
        )  # fmt: skip
        assert self.server.stdout
        for line in self.server.stdout:
            if found := re.search(r"open (http://\S+)", line):
                self.link = found[1]
                self.hold(before, " ".join(words), set(), words)
                self.learns_shots()
                return
        errors = self.server.communicate()[1]
        self.judge(self.server.returncode, errors, " ".join(words))
        self.hold(before, " ".join(words), set(), words, could_not=True)
        self.server = None

    def learns_shots(self) -> None:
        """The shots of the page, as its script names them."""
        data = json.loads(re.search(r'id="shots">(.*?)</script>', self.asks("stage.html")[1], re.S)[1])  # type: ignore[index]
        dishes, steps = data["dishes"], data["steps"]
        self.shots = []
        for slate, step, dish, added, *_ in (
            list(s) + [-1, -1, []][len(s) - 1 :] if len(s) < 4 else s for s in data["shots"]
        ):
            names = [a[0] for a in added]
            self.shots.append((slate, f"{dishes[dish][0]}\t{steps[step][0]}\t+{'; '.join(names)}", names))

    def stops(self) -> None:
        assert self.server
        self.server.send_signal(signal.SIGINT)
        errors = self.server.communicate(timeout=WAIT_S)[1]
        if self.server.returncode:
            self.fault("serve", f"exit {self.server.returncode} after Ctrl-C")
        if "Traceback" in errors or "has a fault" in errors:
            self.fault("serve", errors[-500:])
        self.server = None

    def asks(self, name: str, body: bytes | None = None) -> tuple[int, str]:
        try:
            with urllib.request.urlopen(urllib.request.Request(self.link + name, body), timeout=WAIT_S) as answer:
                return answer.status, answer.read().decode("utf-8")
        except urllib.error.HTTPError as refused:
            return refused.code, refused.read().decode("utf-8", "replace")

    def opens_a_page(self) -> None:
        if self.server is None:
            return
        self.did["page"] += 1
        before, name = (
            self.files(),
            self.chance.choice(
                [
                    "",
                    "stage.html",
                    "index.html",
                    "shoot-list.html",
                    "labels.html",
                    "no.html",
                    "day/../../notes.txt",
                    "%2e%2e/notes.txt",
                    "taps",
                ]
            ),
        )
        code, text = self.asks(name)
        if code not in (200, 404) or "Traceback" in text or text in OWN.values():
            self.fault(f"page {name}", f"answered {code}")
        self.hold(before, f"page {name}", set(), ["serve", "day"])

    def tap(self) -> dict[str, Any]:
        self.taps += 1
        return a_tap(self.chance, self.taps, self.shots, sorted(self.answered))

    def taps_a_page(self) -> None:
        if self.server is None:
            self.starts(self.chance.choice(DISHES[:2]))
            if self.server is None:
                return
        for _ in range(self.chance.randrange(1, 6)):
            self.did["tap"] += 1
            before, events = self.files(), [self.tap() for _ in range(self.chance.choice([1, 1, 1, 2, 4]))]
            body = json.dumps({"run": "", "since": self.chance.choice([0, 0, 3]), "events": events}).encode()
            body = body[: self.chance.randrange(len(body))] if self.chance.random() < 0.05 else body
            code, _ = self.asks("taps", body)
            if code not in (200, 400, 507):
                self.fault("tap", f"answered {code}")
            self.hold(before, f"tap {json.dumps(events)[:300]}", set(), ["serve", "day"], could_not=code == 400)
            if code == 200:
                self.answered |= {e["id"] for e in events}
                written = "".join(p.read_text(encoding="utf-8") for p in (self.folder / "day").glob("*-taps.jsonl"))
                self.answered = {
                    i
                    for i in self.answered
                    if f'"{i}"' in written or self.fault("tap", f"{i} was answered and is not on the disk")
                }

    # --- a terminal, and the pages of a report

    def confirms(self) -> None:
        """Any keys at the questions of a draft, until the terminal is shut."""
        dish = self.folder / self.chance.choice(["leek-soup.yaml", "draft.yaml", "soup.yaml", "seared-hake.yaml"])
        if not dish.is_file():
            self.runs(["new", "--from", "page.txt", "-o", dish.name], "command")
            return
        self.did["terminal"] += 1
        before, keys = self.files(), "".join(self.chance.choice(KEYS) for _ in range(self.chance.randrange(1, 25)))
        ours, theirs = pty.openpty()
        os.write(ours, keys.encode())
        words, again = ["confirm", dish.name], lambda: os.write(ours, b"\n\nq")
        done = forked(words, self.folder, WAIT_S, terminal=theirs, again=again)
        os.close(theirs)
        os.close(ours)
        self.judge(done.code, done.errors, told := f"confirm {dish.name}, keys {keys!r}")
        self.hold(before, told, {dish.name}, words)

    def answers_a_page(self) -> None:
        """Answers chosen on a page of the coverage report and saved beside the recipe, then given to a command."""
        pages = [
            p
            for p in self.folder.rglob("coverage.html")
            if "data-gap" in p.read_text(encoding="utf-8", errors="replace")
        ]
        if not pages:
            words = ["coverage", "harbour-supper.yaml", "--transcript", "harbour-supper-rough-cut.srt", "-o", "report"]
            self.runs(words, "command")
            return
        self.did["answers"] += 1
        text = self.chance.choice(pages).read_text(encoding="utf-8", errors="replace")
        title = re.search(r'data-title="([^"]*)"', text)
        rows = [
            f"{html.unescape(title[1]) if title else ''},{html.unescape(gap)},{value}"
            for value, gap in re.findall(r'value="([^"]+)" data-gap="([^"]*)"', text)
        ]
        saved = "\ufefftitle,gap,answer\r\n" + "".join(
            f"{r}\r\n" for r in self.chance.sample(rows, min(len(rows), self.chance.randrange(1, 5)))
        )
        name = self.chance.choice(["answers.csv", "answers (1).csv"])
        if self.chance.random() < 0.3:
            at = self.chance.randrange(len(saved))
            saved = saved[:at] + self.chance.choice(SLIPS) + saved[at + 1 :]
        (self.folder / name).write_text(saved, encoding="utf-8", newline="")
        use = self.chance.choice([["--answers", name], ["--accept", name], ["--answers", name, "-o", "report"]])
        self.runs(["coverage", "harbour-supper.yaml", "--transcript", "harbour-supper-rough-cut.srt", *use], "command")

    def copies_a_command(self) -> None:
        """A command that a page prints, pasted, at times with a slip."""
        pages = sorted(self.folder.rglob("*.html"))
        found = sorted(
            {
                c
                for p in pages
                for c in re.findall(r"<code>scriptkit ([^<]+)</code>", p.read_text(encoding="utf-8", errors="replace"))
            }
        )
        if not found:
            return
        try:
            words = shlex.split(html.unescape(self.chance.choice(found)))
        except ValueError:
            return
        self.runs(slipped(self.chance, words) if words and self.chance.random() < 0.3 else words, "copied command")

    def ends(self) -> None:
        if self.server is not None:
            self.stops()


def is_kept_as(name: str, of: str) -> bool:
    """Whether the name is one under which a take log of a person is kept."""
    return re.fullmatch(re.escape(of[: -len(".csv")]) + r"-kept[0-9]+\.csv", name) is not None
