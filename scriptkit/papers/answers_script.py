"""The script of the pages that ask: it keeps what was answered, and saves it as a file; the page runs this script and no other."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.papers.stage import one_script

if TYPE_CHECKING:
    from markupsafe import Markup

ANSWERS_SCRIPT = "answers.js"
_POLICY = (
    "default-src 'none'; font-src data:; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswersScript:
    """``script`` is safe inside its element, empty where the page asks nothing; ``policy``: what a browser may load and run."""

    script: Markup
    policy: str


def answers_script(text: str, *, asks: bool) -> AnswersScript:
    """``text``: the template ANSWERS_SCRIPT. ``asks``: whether the page asks anything; if not, nothing runs on it."""
    from markupsafe import Markup

    if not asks:
        return AnswersScript(script=Markup(""), policy=_POLICY)
    script = one_script([text]).replace("</", "<\\/")
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return AnswersScript(script=Markup(script), policy=f"{_POLICY}; script-src 'sha256-{digest}'")
