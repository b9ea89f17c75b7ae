"""Which modules of the house a command loads and never calls, and what they cost.

    python -m tests.speed.imports [COMMAND ...]

A module that only holds shapes or words is used by being there; so what counts is the time that loading takes, each module by itself.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.speed.measured import Measured, show

ROOT = Path(__file__).parent.parent.parent
SUPPER, BISQUE = "examples/harbour-supper.yaml", "examples/fennel-bisque.yaml"
CUT, LOG = "examples/harbour-supper-cut.srt", "examples/harbour-supper-takes.csv"
COMMANDS: dict[str, tuple[str, ...]] = {
    "--help": (), "check": (SUPPER,), "macros": (SUPPER,), "portion": (SUPPER, "--at-most", "net_carbs_g=10"),
    "pair": (BISQUE, "--with", "examples", "--at-most", "net_carbs_g=20"), "schedule": (SUPPER,), "food": ("butter",), "schema": ("dish",),
    "pack": (SUPPER, "-o", "OUT"), "shoot": (SUPPER, "-o", "OUT"), "captions": (SUPPER, "-o", "OUT/overlays.srt"), "proof": (CUT,),
    "conform": (CUT, "--offset", "1", "-o", "OUT/moved.srt"), "coverage": (SUPPER, "--transcript", CUT), "publish": (SUPPER, "-o", "OUT"),
    "paper-edit": (SUPPER, "--log", LOG, "-o", "OUT"), "new": ("Cod with leeks", "-o", "OUT/cod.yaml"),
}  # fmt: skip
WATCH = """
import json, os, sys
called = set()
def watch(frame, event, argument):
    if event == "call" and frame.f_code.co_name[0] != "<":
        called.add(frame.f_code.co_filename)
sys.setprofile(watch)
from scriptkit.cli import main
sys.argv = ["scriptkit", *{arguments}]
try:
    main()
except SystemExit:
    pass
sys.setprofile(None)
print(json.dumps([n for n, m in sys.modules.items() if n.startswith("scriptkit") and getattr(m, "__file__", "") and m.__file__ not in called]), file=sys.__stderr__)
"""
LOADED = re.compile(r"import time:\s+(\d+) \|\s+\d+ \|\s+(\S+)")


def arguments_of(name: str, folder: str) -> list[str]:
    return [name, *(a.replace("OUT", folder) for a in COMMANDS[name])]


def never_called(arguments: list[str]) -> list[str]:
    """Modules of the house that are loaded and of which no function runs."""
    program = WATCH.format(arguments=arguments)
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    found: list[str] = json.loads(done.stderr.splitlines()[-1])
    return found


def load_ms(arguments: list[str]) -> dict[str, float]:
    """Milliseconds that each module takes by itself."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    command = [sys.executable, "-X", "importtime", "-m", "scriptkit", *arguments]
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, encoding="utf-8", check=False)
    return {name: int(us) / 1000 for us, name in LOADED.findall(done.stderr)}


def lines(names: tuple[str, ...] = ()) -> Iterator[Measured]:
    """For each command what it loads of the house, and what of that none of its functions ran."""
    with tempfile.TemporaryDirectory() as folder:
        for name in names or COMMANDS:
            arguments = arguments_of(name, folder)
            idle, took = never_called(arguments), load_ms(arguments)
            spent = sorted(((took.get(m, 0.0), m) for m in idle), reverse=True)
            if names:
                print("\n".join(f"  {ms:6.2f} ms {module}" for ms, module in spent))
            yield Measured(f"{name}: {len(idle)} modules never called", sum(ms for ms, _ in spent), "ms")


if __name__ == "__main__":
    show("imports", lines(tuple(sys.argv[1:])))
