"""``scriptkit serve``: the papers of the shoot on the devices of the local network, and their taps on this machine."""

from __future__ import annotations

import contextlib
import secrets
import signal
import socket
import sys
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.exit_codes import Stopped
from scriptkit.cli.options import Source
from scriptkit.cli.printing import print_problems
from scriptkit.cli.where_next import print_next_after_filming
from scriptkit.problems import CannotDo, Place, Severity, error, note, printable

NOWHERE = "192.0.2.1"
"""An address that is nobody's (RFC 5737): asked which way it would go, the system tells our own address, and nothing is sent."""


@command(
    "serve",
    HelpPage(
        short="the stage page on your phones, their takes on the laptop",
        reads="a dish or a meal.",
        writes="the takes of all devices into DIR, at every tap: NAME-takes.csv, which coverage and paper-edit read, and "
        "NAME-taps.jsonl. The only command that opens a connection: for the devices of the local network that have the key of this "
        "run. Needs waitress and segno.",
        exits="0 stopped with Ctrl-C; 2 could not be done.",
        examples=(f"scriptkit serve {SUPPER} -o day",),
    ),
)
def serve(
    source: Source,
    output: Annotated[str, typer.Option("-o", "--output", metavar="DIR", help="Folder for the takes.")],
    address: Annotated[
        str, typer.Option("--address", metavar="ADDRESS", help="This machine's address, if it has several.")
    ] = "",
    port: Annotated[
        int | None,
        typer.Option(
            "--port",
            metavar="PORT",
            help="Port to listen on; left out, the same at each run of a recipe. 0 takes any free one.",
            min=0,
            max=65535,
            show_default=False,
        ),
    ] = None,
    watch: Annotated[bool, typer.Option("--watch", help="Update the pages when the recipe is saved.")] = False,
) -> None:
    """Open the stage page on phones in the local network, until you press Ctrl-C. Every tap is saved on this machine."""
    raise typer.Exit(run(source, output, address=address, port=port, watch=watch))


def run(source: str, output: str, *, address: str = "", port: int | None = None, watch: bool = False) -> int:
    """Serves until it is interrupted. Raises CannotDo where the recipe cannot be read, or the address cannot be had."""
    from scriptkit.papers.stage import file_name
    from scriptkit.shoot.log.take_log import rate_of
    from scriptkit.stage_server import MOST_BYTES, StageServer, TapBook

    create_server, segno = _libraries()
    papers = ServedPapers(source, watch=watch)
    title = papers.title
    book = TapBook(Path(output), file_name(title), title, rate_of(papers.source))
    key = secrets.token_urlsafe(9)
    app = StageServer(key, papers.text, papers.edition, book)
    host = address or own_address()
    listening = _listening(host, port, title)
    server = create_server(app, sockets=[listening], threads=4, ident=None, max_request_body_size=MOST_BYTES)
    told = book.kept
    link = f"http://{host}:{listening.getsockname()[1]}/{key}/"
    try:
        with _interrupted():
            segno.make(link, error="m").terminal(compact=True)
            print(
                f"{printable(title)}: open {link} on each device of this network, or scan the code. Ctrl-C stops.",
                flush=True,
            )
            if book.kept is not None:
                message = f"this log was made or changed by hand; at the next tap it is kept as {book.kept.name}"
                print_problems([note(Place(str(book.takes)), "kept-log", message)])
            if host.startswith("127."):
                print("No network was found: only this machine can open it.", file=sys.stderr)
            server.run()
    except (KeyboardInterrupt, Stopped):
        pass
    server.close()
    if book.kept != told:
        message = f"this log was made or changed by hand while it was served; it is kept as {book.kept.name if book.kept else ''}"
        print_problems([note(Place(str(book.takes)), "kept-log", message)])
    print(
        f"Stopped. The takes are in {printable(str(book.takes))}" if book.events else "Stopped. There were no takes.",
        file=sys.stderr,
    )
    if book.events:
        print_next_after_filming(source, book.takes, Path(output))
    return 0


def usual_port(title: str) -> int:
    """The port of a dish or meal, 20000 to 29999, the same at each run: a browser keeps the taps that the laptop has not had yet under
    address and port, and finds them again only there. No system gives these ports to others of its own accord."""
    from scriptkit.shoot.log.take_log import title_key

    return 20_000 + zlib.crc32(title_key(title).encode("utf-8")) % 10_000


def _listening(host: str, port: int | None, title: str) -> socket.socket:
    """The socket; where the usual port is taken, one of any other. Raises CannotDo where the address or a named port cannot be had."""
    asked = usual_port(title) if port is None else port
    try:
        try:
            return socket.create_server((host, asked))
        except OSError:
            if port is not None:
                raise
            return socket.create_server((host, 0))
    except OSError as wrong:
        where = host if port is None else f"{host}, port {port}"
        message = f"this machine cannot serve at {where}: {wrong.strerror or wrong}"
        raise CannotDo([error(Place("--address"), "address", message, "give another --address or --port")]) from None


@contextlib.contextmanager
def _interrupted() -> Iterator[None]:
    """Ctrl-C is a KeyboardInterrupt here: the server's library lets that one through, and takes any other for a fault of the answer
    that it is at, so that it would be lost."""

    def stop(number: int, frame: object) -> None:  # noqa: ARG001
        raise KeyboardInterrupt

    before: dict[signal.Signals, Any] = {}
    try:
        for number in (signal.SIGINT, signal.SIGTERM):
            before[number] = signal.getsignal(number)
            signal.signal(number, stop)
        yield
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)


def _libraries() -> tuple[Any, Any]:
    try:
        import segno
        from waitress import create_server
    except ImportError as lacking:
        message = f"serving needs the library {lacking.name}"
        raise CannotDo([error(Place("serve"), "no-library", message, "pip install waitress segno")]) from None
    return create_server, segno


def own_address() -> str:
    """This machine's address in the local network; 127.0.0.1 where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect((NOWHERE, 9))
        except OSError:
            return "127.0.0.1"
        return str(asked.getsockname()[0])


class ServedPapers:
    """The papers of the shoot, in memory. ``watch``: made again when a file of the recipe has changed; one that cannot be read, as it is
    only half saved, leaves the last good papers as they are. Raises CannotDo where the first reading fails."""

    def __init__(self, path: str, *, watch: bool = False) -> None:
        self.path, self.watch = path, watch
        self.files: dict[str, str] = {}
        self._load()

    def _load(self) -> None:
        from scriptkit.pack import make_shoot
        from scriptkit.papers.files import stage_page
        from scriptkit.production import read

        production = read(self.path)
        self.seen = self._stamps(production.made_from)
        self.source, self.title = production.source, production.source.name
        self.files = make_shoot(production).files | {"stage.html": stage_page(production, served=True)}
        print_problems([p for p in production.problems if p.severity is Severity.ERROR], production.files)

    def _stamps(self, files: tuple[str, ...]) -> dict[str, int]:
        return {file: stamp for file in files if (stamp := _changed_ns(file))}

    def _renew(self) -> None:
        now = self._stamps(tuple(self.seen))
        if not self.watch or now == self.seen:
            return
        try:
            self._load()
        except CannotDo as wrong:
            self.seen = now
            print_problems(wrong.problems, wrong.lines)

    def text(self, name: str) -> str | None:
        """The paper of this name."""
        self._renew()
        return self.files.get(name)

    def edition(self) -> str:
        """A name of what the stage page shows, which changes with it."""
        self._renew()
        return f"{hash(self.files['stage.html']):x}"


def _changed_ns(file: str) -> int:
    try:
        return Path(file).stat().st_mtime_ns
    except OSError:
        return 0
