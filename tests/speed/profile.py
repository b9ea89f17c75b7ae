"""Where a command spends its time: by package, and the functions that take most themselves."""

from __future__ import annotations

import cProfile
import os
import pstats
import sys
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
MOST = 12


def package_of(file: str) -> str:
    """A room of the house, a library, or Python itself."""
    path = Path(file)
    if path.is_relative_to(ROOT / "scriptkit"):
        parts = path.relative_to(ROOT).parts
        return "/".join(parts[:2])
    if "site-packages" in path.parts:
        return path.parts[path.parts.index("site-packages") + 1].removesuffix(".py")
    return "importing" if "importlib" in file else "python"


def profile(arguments: tuple[str, ...]) -> None:
    """Run the command under the profiler in a new process and print where it was. (A profiled command takes about twice as long.)"""
    print(f"\nprofile of `scriptkit {' '.join(arguments)}`", flush=True)
    import subprocess

    subprocess.run([sys.executable, "-m", "tests.speed.profile", *arguments], cwd=ROOT, check=False)


def main(arguments: list[str]) -> None:
    sys.argv = ["scriptkit", *arguments]
    watch = cProfile.Profile()
    out = os.dup(1)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    try:
        watch.enable()
        from scriptkit.cli import main as command

        command()
    except SystemExit:
        pass
    finally:
        watch.disable()
        sys.stdout.flush()
        os.dup2(out, 1)
    rows = pstats.Stats(watch).stats  # type: ignore[attr-defined]
    spent: dict[str, float] = defaultdict(float)
    for (file, _, _), (_, _, itself, _, _) in rows.items():
        spent[package_of(file)] += itself
    whole = sum(spent.values())
    print(
        f"  {whole:.3f} s, of it: "
        + ", ".join(f"{n} {s / whole:.0%}" for n, s in sorted(spent.items(), key=lambda r: -r[1])[:MOST])
    )
    for (file, number, name), (_, calls, itself, _, _) in sorted(rows.items(), key=lambda r: -r[1][2])[:MOST]:
        where = f"{package_of(file)}: {Path(file).name}:{number} {name}" if number else name
        print(f"  {itself:7.3f} s {calls:8} × {where}"[:118])


if __name__ == "__main__":
    main(sys.argv[1:])
