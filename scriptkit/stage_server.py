"""The papers of a shoot and the taps of its stage pages, for the devices of the local network that carry the run's key.

A WSGI application (PEP 3333) without a network of its own: `cli/serve.py` opens the socket.
"""

from __future__ import annotations

import hmac
import json
import os
import threading
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from scriptkit.measure.timecode import FrameRate
from scriptkit.shoot.log.stage_events import replay, write_stage_log
from scriptkit.shoot.log.stage_taps import NotAnEvent, StageEvent, event_of
from scriptkit.written_files import name_beside

MOST_BYTES = 1_000_000
"""Of one request: several thousand taps, and a log that is opened on a device."""
MOST_EVENTS = 100_000
"""Of one shoot; also the end of what a device that has the key can fill the disk with."""
AT_ONCE = 500
"""Events in one answer."""
_TYPES = {
    ".html": "text/html",
    ".csv": "text/csv",
    ".txt": "text/plain",
    ".vtt": "text/vtt",
    ".json": "application/json",
}
_HEADERS = [
    ("Cache-Control", "no-store"), ("X-Content-Type-Options", "nosniff"), ("Referrer-Policy", "no-referrer"), ("X-Frame-Options", "DENY"),
]  # fmt: skip

Start = Callable[[str, list[tuple[str, str]]], object]
Answer = tuple[str, str, bytes]


class TapBook:
    """The taps of all devices, on the disk at every tap: each event a line of ``NAME-taps.jsonl``, and what they come to as the take log
    ``NAME-takes.csv``. A book that is opened again goes on where it was. A take log of that name which is not what the taps come to, because
    a person made or changed it, gets another name (``kept``) before the next tap is written."""

    def __init__(self, folder: Path, name: str, title: str, rate: FrameRate) -> None:
        self.taps, self.takes = folder / f"{name}-taps.jsonl", folder / f"{name}-takes.csv"
        self.title, self.rate = title, rate
        self.raw: list[dict[str, Any]] = []
        self.events: dict[str, StageEvent] = {}
        self.lock = threading.Lock()
        self.kept: Path | None = None
        folder.mkdir(parents=True, exist_ok=True)
        self._open()

    def _open(self) -> None:
        """A line that was cut off when the laptop died is passed over; what follows it begins on a line of its own."""
        text = self.taps.read_text(encoding="utf-8", errors="replace") if self.taps.exists() else ""
        for line in text.splitlines():
            try:
                self._take(json.loads(line))
            except (ValueError, NotAnEvent, RecursionError):
                continue
        if text and not text.endswith("\n"):
            with self.taps.open("a", encoding="utf-8", newline="") as file:
                file.write("\n")
        self.written = self._as_log()
        self.kept = self._name_for_a_persons_log()

    def _take(self, raw: Any) -> bool:
        event = event_of(raw)
        if event.id in self.events:
            return False
        self.events[event.id] = event
        self.raw.append(raw)
        return True

    def add(self, sent: Iterable[object]) -> None:
        """Events to the disk, and only then into the book; those that are in it already are passed over. Raises NotAnEvent before
        anything is written, and OSError where the disk does not take them."""
        with self.lock:
            new: dict[str, Any] = {}
            for raw in sent:
                event = event_of(raw)
                if event.id not in self.events:
                    new.setdefault(event.id, raw)
            if not new:
                return
            if len(self.events) + len(new) > MOST_EVENTS:
                raise NotAnEvent("no day has so many taps")
            with self.taps.open("a", encoding="utf-8", newline="") as file:
                file.write("".join(json.dumps(raw, ensure_ascii=True) + "\n" for raw in new.values()))
                file.flush()
                os.fsync(file.fileno())
            for raw in new.values():
                self._take(raw)
            self._write_takes()

    def _write_takes(self) -> None:
        beside = self.takes.with_suffix(".csv.new")
        log = self._as_log()
        beside.write_bytes(log)
        if (kept := self._name_for_a_persons_log()) is not None:
            self.takes.replace(kept)
            self.kept = kept
        beside.replace(self.takes)
        self.written = log

    def _as_log(self) -> bytes:
        return write_stage_log(replay(self.events.values(), self.rate), self.title, self.rate).encode("utf-8")

    def _name_for_a_persons_log(self) -> Path | None:
        """After a power cut the log may be a tap behind: then a file too many is kept, and nothing is lost."""
        if not self.takes.is_file() or self.takes.read_bytes() in (b"", self.written):
            return None
        return name_beside(self.takes)

    def since(self, place: int) -> Sequence[dict[str, Any]]:
        """What came after the first ``place`` events, as it was sent."""
        return self.raw[place : place + AT_ONCE]


class StageServer:
    """The application: under ``/KEY/`` the papers by their names and, by POST, the taps; anything else is not there.

    ``papers`` gives the text of a paper by its name, None for one that there is not, and ``edition`` names what they were made from.
    """

    def __init__(
        self, key: str, papers: Callable[[str], str | None], edition: Callable[[], str], book: TapBook
    ) -> None:
        self.key, self.papers, self.edition, self.book = key, papers, edition, book
        self.run = f"{time.time_ns():x}"

    def __call__(self, environ: Mapping[str, Any], start: Start) -> list[bytes]:
        """An answer to one request (PEP 3333)."""
        status, kind, body = self._answer(environ)
        headers = [("Content-Type", kind), ("Content-Length", str(len(body))), *_HEADERS]
        if status.startswith("302"):
            headers.append(("Location", f"/{self.key}/stage.html"))
        start(status, headers)
        return [b"" if environ.get("REQUEST_METHOD") == "HEAD" else body]

    def _answer(self, environ: Mapping[str, Any]) -> Answer:
        _, _, rest = str(environ.get("PATH_INFO", "")).partition("/")
        key, _, name = rest.partition("/")
        method = environ.get("REQUEST_METHOD")
        if not hmac.compare_digest(key.encode("utf-8", "replace"), self.key.encode("ascii")):
            return _nothing("404 Not Found") if method == "POST" else _said("404 Not Found", _WHOLE_ADDRESS)
        if method == "POST" and name == "taps":
            return self._taps(environ)
        if method not in ("GET", "HEAD"):
            return _nothing("405 Method Not Allowed")
        if not name:
            return _nothing("302 Found")
        text = self.papers(name)
        if text is None:
            return _said(
                "404 Not Found",
                f"There is no such page here. <a href='/{self.key}/stage.html'>Open the stage page</a>.",
            )
        return "200 OK", f"{_TYPES.get(Path(name).suffix, 'text/plain')}; charset=utf-8", text.encode("utf-8")

    def _taps(self, environ: Mapping[str, Any]) -> Answer:
        try:
            length = int(environ.get("CONTENT_LENGTH") or 0)
        except ValueError:
            return _nothing("400 Bad Request")
        if not 0 <= length <= MOST_BYTES:
            return _nothing("413 Content Too Large")
        try:
            asked = json.loads(environ["wsgi.input"].read(length))
            if not isinstance(asked, dict) or not isinstance(asked.get("events"), list):
                return _nothing("400 Bad Request")
            self.book.add(asked["events"])
        except (ValueError, RecursionError):  # NotAnEvent is a ValueError
            return _nothing("400 Bad Request")
        except OSError:
            return _nothing("507 Insufficient Storage")
        since = asked.get("since") if asked.get("run") == self.run else 0
        place = since if isinstance(since, int) and 0 <= since <= len(self.book.raw) else 0
        found = self.book.since(place)
        # ``now`` and ``behind``: this machine's clock, from which a device learns how far off its own is.
        answer = {
            "run": self.run, "next": place + len(found), "more": place + len(found) < len(self.book.raw), "events": found,
            "edition": self.edition(), "now": time.time_ns() // 1_000_000, "behind": -time.localtime().tm_gmtoff // 60,
        }  # fmt: skip
        return "200 OK", "application/json", json.dumps(answer).encode("utf-8")


_WHOLE_ADDRESS = "This is not the whole address. Open the one that the laptop shows now, to its last letter, or scan the code beside it."


def _said(status: str, words: str) -> Answer:
    """A page of one sentence, so that nobody stands before an empty one; it says the same to whoever has no key."""
    page = f"<!doctype html><html lang='en'><meta name='viewport' content='width=device-width'><title>{status}</title><p>{words}"
    return status, "text/html; charset=utf-8", page.encode("utf-8")


def _nothing(status: str) -> Answer:
    return status, "text/plain; charset=utf-8", b""
