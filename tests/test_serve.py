"""`serve`: the papers and the taps for whoever has the key, and nothing for anybody else; taps merged, each once, on the disk at every tap."""

from __future__ import annotations

import io
import json
import os
import signal
import socket
import time
import urllib.error
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from conftest import EXAMPLES
from serving import serving

from scriptkit.cli import serve
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of
from scriptkit.stage_server import MOST_BYTES, StageServer, TapBook

KEY = "a-key_of1run"
RATE = RATES["25"]
SUPPER = EXAMPLES / "harbour-supper.yaml"
BISQUE = "Fennel and celeriac bisque"


def event(n: int, kind: str, device: str = "cook", **more: Any) -> dict[str, Any]:
    return {"id": f"{device}-{n}", "n": n, "d": device, "t": 1_791_193_276_000 + 1000 * n, "z": 0, "k": kind, **more}


def roll(n: int, device: str = "cook") -> dict[str, Any]:
    return event(n, "roll", device, s=f"{BISQUE}\tsoften-fennel\t+butter", l="7A", a=["butter"])


def judge(n: int, of: str, device: str = "cook") -> dict[str, Any]:
    return {**roll(n, device), "k": "judge", "of": of, "v": "circled", "card": "1", "clip": "1"}


class Asked:
    """The application, asked without a network."""

    def __init__(self, folder: Path) -> None:
        self.book = TapBook(folder, "supper", "Harbour supper", RATE)
        papers = {"stage.html": "<!doctype html>the page", "shoot-list.csv": "shot"}
        self.app = StageServer(KEY, papers.get, lambda: "first", self.book)

    def __call__(
        self, path: str, method: str = "GET", body: bytes = b"", length: str | None = None
    ) -> tuple[str, dict[str, str], bytes]:
        told: list[Any] = []
        environ = {"PATH_INFO": path, "REQUEST_METHOD": method, "CONTENT_LENGTH": str(len(body)) if length is None else length, "wsgi.input": io.BytesIO(body)}  # fmt: skip
        found = b"".join(self.app(environ, lambda status, headers: told.append((status, dict(headers)))))
        return (*told[0], found)

    def taps(self, *events: Any, since: int = 0, **more: Any) -> dict[str, Any]:
        body = {"events": list(events), "run": self.app.run, "since": since, **more}
        status, _, found = self(f"/{KEY}/taps", "POST", json.dumps(body).encode())
        assert status == "200 OK", status
        return dict(json.loads(found))


@pytest.fixture
def asked(tmp_path: Path) -> Asked:
    return Asked(tmp_path)


def test_a_paper_is_there_for_who_has_the_key(asked: Asked) -> None:
    status, headers, body = asked(f"/{KEY}/stage.html")
    assert (status, body) == ("200 OK", b"<!doctype html>the page")
    assert headers["Content-Type"] == "text/html; charset=utf-8"
    assert headers["Cache-Control"] == "no-store" and headers["Referrer-Policy"] == "no-referrer"
    for path in (f"/{KEY}/", f"/{KEY}"):  # as it is printed, and as it is typed
        status, headers, _ = asked(path)
        assert (status, headers["Location"]) == ("302 Found", f"/{KEY}/stage.html")


@pytest.mark.parametrize(
    "path",
    ["", "/", "/stage.html", f"/{KEY[:-1]}", f"/{KEY}x", f"/{KEY.upper()}/stage.html", f"/{KEY[:-1]}/stage.html", f"/{KEY}x/stage.html", "/é/stage.html", "//stage.html",
     f"/{KEY}/../stage.html", f"/{KEY}/../../etc/passwd", f"/{KEY}//etc/passwd", f"/{KEY}/supper-taps.jsonl", f"/{KEY}/taps", f"/{KEY}/stage.html/"],
)  # fmt: skip
def test_without_the_key_and_beside_the_papers_there_is_nothing(asked: Asked, path: str) -> None:
    status, headers, body = asked(path)
    assert status == "404 Not Found" and "Location" not in headers
    with_key = path.startswith(f"/{KEY}/")
    assert (KEY.encode() in body) == with_key
    assert (
        b"Open the stage page" if with_key else b"Open the one that the laptop shows"
    ) in body  # never an empty page


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "POST"])
def test_other_methods_do_nothing(asked: Asked, method: str) -> None:
    assert asked(f"/{KEY}/stage.html", method)[0] == "405 Method Not Allowed"
    assert asked("/another-key/taps", method)[0] == "404 Not Found"


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", "400 Bad Request"),
        (b"{", "400 Bad Request"),
        (b"\xff\xfe", "400 Bad Request"),
        (b"[]", "400 Bad Request"),
        (b'{"events": 1}', "400 Bad Request"),
        (b'{"events": [{"k": "roll"}]}', "400 Bad Request"),
        (b"[" * 100_000, "400 Bad Request"),
        (b"x" * (MOST_BYTES + 1), "413 Content Too Large"),
    ],
)
def test_what_is_no_tap_is_refused_and_nothing_is_written(asked: Asked, body: bytes, status: str) -> None:
    assert asked(f"/{KEY}/taps", "POST", body)[0] == status
    assert not asked.book.taps.exists()
    assert asked(f"/{KEY}/taps", "POST", b"", "much")[0] == "400 Bad Request"


def test_one_bad_tap_among_good_ones_writes_none(asked: Asked) -> None:
    body = json.dumps({"events": [roll(1), {**roll(2), "n": "two"}]}).encode()
    assert asked(f"/{KEY}/taps", "POST", body)[0] == "400 Bad Request"
    assert asked.book.raw == []


def test_taps_of_two_devices_merge_each_once_and_lie_on_the_disk(asked: Asked, tmp_path: Path) -> None:
    first = asked.taps(roll(1))
    assert [e["id"] for e in first["events"]] == ["cook-1"]
    assert (tmp_path / "supper-taps.jsonl").read_text(encoding="utf-8").count("\n") == 1
    asked.taps(judge(5, "cook-1", "helper"), roll(1))  # comes first, sent again
    asked.taps(judge(2, "cook-1"))
    assert len(asked.book.raw) == 3
    answer = asked.taps(since=1)
    assert ([e["id"] for e in answer["events"]], answer["next"], answer["more"]) == (["helper-5", "cook-2"], 3, False)
    source = read_source(str(SUPPER)).usable()
    raw = (tmp_path / "supper-takes.csv").read_bytes()
    log = read_log(raw, "takes.csv", source, shots_of(plan_of(source)))
    assert [(t.shot.slate, t.number, t.verdict) for t in log.takes] == [("7A", 1, "circled")]


def test_a_book_goes_on_after_a_power_cut(asked: Asked, tmp_path: Path) -> None:
    asked.taps(roll(1), judge(2, "cook-1"))
    with asked.book.taps.open("a", encoding="utf-8") as file:
        file.write('{"id": "cook-3", "n"')  # the line that was being written
    again = Asked(tmp_path)
    assert [e["id"] for e in again.book.raw] == ["cook-1", "cook-2"]
    again.taps(roll(3))
    assert [e["id"] for e in Asked(tmp_path).book.raw] == ["cook-1", "cook-2", "cook-3"]


def test_a_log_that_a_person_made_or_changed_is_kept(asked: Asked, tmp_path: Path) -> None:
    asked.taps(roll(1), judge(2, "cook-1"))
    assert Asked(tmp_path).book.kept is None  # what the taps come to
    asked.book.takes.write_text("my own log", encoding="utf-8")
    again = Asked(tmp_path)
    assert asked.book.takes.read_text(encoding="utf-8") == "my own log"  # no tap yet
    again.taps(roll(3), judge(4, "cook-3"))
    assert again.book.kept is not None and again.book.kept.read_text(encoding="utf-8") == "my own log"
    assert "circled" in again.book.takes.read_text(encoding="utf-8")
    again.book.takes.write_text("another", encoding="utf-8")
    Asked(tmp_path).taps(roll(5))
    assert sorted(p.name for p in tmp_path.glob("*-kept*")) == ["supper-takes-kept1.csv", "supper-takes-kept2.csv"]


def test_a_log_that_a_person_changes_between_two_taps_is_kept(asked: Asked, tmp_path: Path) -> None:
    asked.taps(roll(1))
    for n in (2, 4):
        asked.book.takes.write_text(f"my remark {n}", encoding="utf-8")
        asked.taps(roll(n))
        asked.taps(roll(n + 1))
        assert asked.book.kept is not None and asked.book.kept.read_text(encoding="utf-8") == f"my remark {n}"
    assert sorted(p.name for p in tmp_path.glob("*-kept*")) == ["supper-takes-kept1.csv", "supper-takes-kept2.csv"]


def test_a_device_that_knew_an_earlier_run_gets_everything(asked: Asked, tmp_path: Path) -> None:
    asked.taps(roll(1), judge(2, "cook-1"))
    again = Asked(tmp_path)
    answer = again.taps(since=2, run="another")
    assert [e["id"] for e in answer["events"]] == ["cook-1", "cook-2"]


def test_a_full_disk_is_told_and_the_tap_is_not_taken(asked: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("scriptkit.stage_server.os.fsync", full)
    body = json.dumps({"events": [roll(1)]}).encode()
    assert asked(f"/{KEY}/taps", "POST", body)[0] == "507 Insufficient Storage"
    assert asked.book.raw == []
    monkeypatch.undo()
    assert [e["id"] for e in asked.taps(roll(1))["events"]] == ["cook-1"]


def test_the_laptop_s_clock_comes_with_the_answer(asked: Asked) -> None:
    before = time.time_ns() // 1_000_000
    answer = asked.taps()
    assert before <= answer["now"] <= time.time_ns() // 1_000_000
    assert answer["behind"] == -(time.localtime().tm_gmtoff // 60)


# --- the command --------------------------------------------------------------------------------------------------------


def test_the_command_serves_with_a_key_and_stops_with_ctrl_c(tmp_path: Path) -> None:
    with serving(tmp_path, str(SUPPER), "-o", "day") as served:
        page = served.get("stage.html")
        assert "connect-src" in page and '"served":true' in page
        assert served.get("") == page
        for name in ("shoot-list.html", "script.html", "index.html", "files/buying.csv"):
            assert served.get(name)
        with pytest.raises(urllib.error.HTTPError) as refused:
            served.get("../x/stage.html")
        assert refused.value.code == 404
        refused.value.close()
        assert len(served.link.rstrip("/").rpartition("/")[2]) >= 12
    with serving(tmp_path, str(SUPPER), "-o", "day") as again:
        assert again.link != served.link  # another key


class _Quiet:
    """A server and a maker of QR codes that do nothing, save that Ctrl-C is pressed at one moment."""

    def __init__(self, moment: str) -> None:
        self.moment, self.closed = moment, False
        self.sockets: list[socket.socket] = []

    def _press(self, moment: str) -> None:
        if moment == self.moment:
            signal.raise_signal(signal.SIGINT)

    def create(self, _app: Any, sockets: list[socket.socket], **_: Any) -> _Quiet:
        self.sockets = sockets
        return self

    def make(self, *_: Any, **__: Any) -> _Quiet:
        return self

    def terminal(self, **_: Any) -> None:
        self._press("as the code is drawn")

    def run(self) -> None:
        self._press("as it serves")

    def close(self) -> None:
        self.closed = True
        for each in self.sockets:
            each.close()

    def handle(self, number: int, handler: Any) -> Any:
        before = signal.signal(number, handler)
        self._press("as it learns to stop" if callable(handler) and handler.__name__ == "stop" else "as it ends")
        return before


@pytest.mark.parametrize(
    "moment", ["as it learns to stop", "as the code is drawn", "as it serves", "as it ends", "never"]
)
def test_ctrl_c_at_any_moment_closes_the_server(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    quiet = _Quiet(moment)
    monkeypatch.setattr(serve, "_libraries", lambda: (quiet.create, quiet))
    signals = SimpleNamespace(
        signal=quiet.handle, getsignal=signal.getsignal, SIGINT=signal.SIGINT, SIGTERM=signal.SIGTERM
    )
    monkeypatch.setattr(serve, "signal", signals)
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        assert serve.run(str(SUPPER), str(tmp_path), address="127.0.0.1") == 0
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    assert quiet.closed and "Stopped. There were no takes." in capsys.readouterr().err


def test_the_page_of_a_pack_asks_nobody(run: Callable[..., Any], tmp_path: Path) -> None:
    run("shoot", str(SUPPER), "-o", "papers")
    page = (tmp_path / "papers" / "stage.html").read_text(encoding="utf-8")
    assert "connect-src" not in page and '"served"' not in page


def test_watched_papers_follow_the_recipe_and_survive_one_half_saved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    dish = "dish: {}\nservings: 1\ningredients: {{olive oil: 30 g}}\nsteps: [{{id: melt, stage: cook, do: Melt it., add: olive oil}}]\n"
    path = tmp_path / "dish.yaml"
    path.write_text(dish.format("Butter"), encoding="utf-8")
    papers, still = serve.ServedPapers(str(path), watch=True), serve.ServedPapers(str(path))
    first = papers.edition()
    path.write_text("dish: Brown but", encoding="utf-8")
    assert papers.edition() == first and "Butter" in str(papers.text("stage.html"))
    assert "error" in capsys.readouterr().err
    path.write_text(dish.format("Brown butter"), encoding="utf-8")
    assert papers.edition() != first and "Brown butter" in str(papers.text("stage.html"))
    assert "Brown butter" not in str(still.text("stage.html"))


def small_dish(folder: Path, name: str) -> str:
    path = folder / "leeks.yaml"
    step = "{id: soften, stage: cook, do: Soften it., add: leek}"
    path.write_text(f"dish: {name}\nservings: 1\ningredients: {{leek: 300 g}}\nsteps: [{step}]\n", encoding="utf-8")
    return str(path)


def test_a_recipe_has_its_port_at_each_run_and_any_other_where_that_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A browser keeps what it has not sent by address and port: at another port it would not find it again."""
    quiet = _Quiet("never")
    monkeypatch.setattr(serve, "_libraries", lambda: (quiet.create, quiet))

    name = f"Leeks {os.getpid()}"  # whose port no other run of the tests has
    leeks = small_dish(tmp_path, name)

    def port(folder: str, **options: int) -> int:
        assert serve.run(leeks, str(tmp_path / folder), address="127.0.0.1", **options) == 0
        return int(capsys.readouterr().out.partition("127.0.0.1:")[2].partition("/")[0])

    first = port("one")
    assert first == serve.usual_port(name) == port("two")
    assert 20_000 <= first < 30_000 and serve.usual_port(name.upper()) == first
    assert serve.usual_port("Cod on leeks") != first
    with socket.create_server(("127.0.0.1", first)):
        assert port("three") not in (0, first)
        with pytest.raises(CannotDo) as wrong:  # a port that was asked for by its number is that one
            serve.run(leeks, str(tmp_path / "four"), address="127.0.0.1", port=first)
    assert f"cannot serve at 127.0.0.1, port {first}" in wrong.value.problems[0].message


def test_when_it_stops_it_says_what_to_do_with_the_takes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    quiet = _Quiet("never")
    monkeypatch.setattr(serve, "_libraries", lambda: (quiet.create, quiet))
    leeks, of = small_dish(tmp_path, "Leeks"), {"s": "Leeks\tsoften\t+leek", "l": "2A", "a": ["leek"]}
    book = TapBook(tmp_path / "day", "leeks", "Leeks", RATE)
    book.add([event(1, "roll", **of), event(2, "judge", **of, of="cook-1", v="circled", card="1", clip="1")])
    assert serve.run(leeks, str(tmp_path / "day"), address="127.0.0.1") == 0
    assert capsys.readouterr().err.splitlines()[-2:] == [
        f"Stopped. The takes are in {book.takes}",
        f"next: scriptkit coverage {leeks} --log {book.takes} -o {tmp_path / 'day'}",
    ]


def test_what_cannot_be_served_is_told(run: Callable[..., Any]) -> None:
    done = run("serve", str(SUPPER), "-o", "day", "--address", "192.0.2.7")
    assert (done.returncode, "this machine cannot serve at 192.0.2.7" in done.stderr) == (2, True)
    done = run("serve", "none.yaml", "-o", "day")
    assert done.returncode == 2 and "Traceback" not in done.stderr


def test_without_the_libraries_it_says_which(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setitem(__import__("sys").modules, "waitress", None)
    with pytest.raises(CannotDo) as wrong:
        serve.run(str(SUPPER), str(tmp_path))
    assert wrong.value.problems[0].hint == "pip install waitress segno"
