"""What is in each file, by its own first line: the layout of the house, which is written nowhere else.

    python -m tests.layout [ROOM | WORD]

ROOM is a folder of the package (`cut/placing`); a word prints each file whose name or first line has it.
"""

from __future__ import annotations

import ast
import re
import sys
from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "scriptkit"
TABLES = {".csv", ".yaml", ".txt"}


def first_sentence(path: Path) -> str:
    """Of a module its docstring's, of a table its first remark, or its columns and the module beside it that names it."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        paragraph = (ast.get_docstring(ast.parse(text)) or "").split("\n\n")[0]
        return re.split(r"(?<=\.) (?=[A-Z*`])", " ".join(paragraph.split()))[0]
    line = text.split("\n", 1)[0]
    if line.startswith("#"):
        return line.lstrip("# ")
    readers = [m.name for m in sorted(path.parent.glob("*.py")) if f'"{path.name}"' in m.read_text(encoding="utf-8")]
    return f"read by {', '.join(readers)}: {line}"


def files() -> dict[str, str]:
    """Every module and table of the package, by its path in it."""
    paths = [p for p in sorted(PACKAGE.rglob("*")) if p.suffix in {".py", *TABLES} and p.name != "__init__.py"]
    return {p.relative_to(PACKAGE).as_posix(): first_sentence(p) for p in paths}


def listed(asked: str) -> list[str]:
    """The lines of a room, of a word, or of the whole house."""
    room = asked.removeprefix("scriptkit/").rstrip("/")
    within = (PACKAGE / room).is_dir()
    return [
        f"{name}  {line}"
        for name, line in files().items()
        if (name.startswith(f"{room}/" if room else "") if within else room.casefold() in f"{name} {line}".casefold())
    ]


if __name__ == "__main__":
    print("\n".join(listed(sys.argv[1] if len(sys.argv) > 1 else "")))
