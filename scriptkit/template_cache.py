"""Compiled templates kept in the user's cache folder: compiling takes longer than filling them in.

What lies there is run as code. So it is read only from a folder that nobody else can write to, and only where the file is whole
and was compiled from this very template. Anything else is compiled again, silently: a cache never decides what is made.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import sys
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jinja2
from jinja2 import BytecodeCache

from scriptkit import __version__
from scriptkit.user_cache import keep_whole, own_folder

LARGEST_BYTES = 2_000_000
"""Of a compiled template; the largest of ours has a twentieth of it."""


def cache_folder() -> Path | None:
    """The folder of this version's compiled templates, made where it is not there yet. None where the user has no home, where
    it cannot be written to, and where somebody else could write to it."""
    return own_folder(_of_this_version())


def _of_this_version() -> str:
    return f"templates-{__version__}-jinja{jinja2.__version__}-{sys.implementation.cache_tag}"


class CompiledTemplates(BytecodeCache):
    """Jinja's cache in ``folder``, a file a template, written whole. ``kind`` keeps apart environments that compile the same
    text differently."""

    def __init__(self, folder: Path, kind: str) -> None:
        self.folder = folder
        self.kind = kind

    def get_cache_key(self, name: str, filename: str | None = None) -> str:  # noqa: ARG002  # of Jinja
        """The file's name. The template's text is checked when it is read."""
        return f"{quote(name, safe='')}.{self.kind}"

    def load_bytecode(self, bucket: Any) -> None:
        """Fill the bucket, where the file is whole and of this template; else leave it empty."""
        with contextlib.suppress(OSError, ValueError, EOFError, TypeError):
            with (self.folder / bucket.key).open("rb") as kept:
                found = kept.read(LARGEST_BYTES)
            digest, code = found[:32], found[32:]
            if digest == _digest(bucket.checksum, code):  # a damaged one could end the interpreter
                bucket.load_bytecode(io.BytesIO(code))

    def dump_bytecode(self, bucket: Any) -> None:
        """Keep the bucket; a full disk is told by what else is written."""
        out = io.BytesIO()
        bucket.write_bytecode(out)
        keep_whole(self.folder / bucket.key, _digest(bucket.checksum, out.getvalue()) + out.getvalue())


def _digest(checksum: str, code: bytes) -> bytes:
    """Of the compiled code together with the template it is of."""
    return hashlib.sha256(f"{__version__}:{checksum}:".encode() + code).digest()


def kept_templates(kind: str) -> CompiledTemplates | None:
    """Where compiled templates are kept; None: they are compiled each time."""
    folder = cache_folder()
    return CompiledTemplates(folder, kind) if folder else None
