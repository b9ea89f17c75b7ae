"""A browser that watches what a page asks for and whether anything ran on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

LOOK = """() => {
  const all = [...document.querySelectorAll('*')], of = f => all.filter(f).map(e => e.outerHTML.slice(0, 120));
  return {
    kinds: [...new Set(all.map(e => e.localName))],
    scripts: all.filter(e => e.localName == 'script').map(e => [e.type, e.src]),
    metas: of(e => e.localName == 'meta' && e.httpEquiv && e.httpEquiv != 'Content-Security-Policy'),
    handlers: of(e => [...e.attributes].some(a => /^on/i.test(a.name))),
    links: of(e => [...e.attributes].some(a => /^(xlink:)?(href|src|srcset|srcdoc|action|formaction|poster|background|ping|cite|data)$/i.test(a.name)
      && !/^data:image\\/jpeg;base64,[A-Za-z0-9+/=]+$/.test(a.value)
      && !/^(files\\/)?[a-z-]*([.](html|txt|csv|srt|vtt|jsonld))?(#[\\w-]*)?$/.test(a.value))),
    styles: of(e => e.localName != 'style' && /url|expression|import/i.test(e.getAttribute('style') || '')),
    text: [...document.querySelectorAll('title, body')].map(e => { const c = e.cloneNode(true);
      c.querySelectorAll('script, style').forEach(s => s.remove()); return c.textContent }).join('\\n'),
  };
}"""
TOUCH = """() => { for (const e of document.querySelectorAll('body, body *')) if (!e.closest('a')) for (const kind of ['mouseover', 'mouseenter', 'pointerover', 'focus', 'click', 'auxclick'])
  e.dispatchEvent(new MouseEvent(kind, {bubbles: true, cancelable: true})) }"""
NEVER = {"iframe", "object", "embed", "base", "link", "form", "video", "audio", "source", "frame", "frameset", "applet", "math", "portal"}  # fmt: skip
"""Elements that no page of ours has."""


@dataclass
class Watch:
    """A page, what it asked for, and whether anything ran."""

    page: Any
    asked: list[str] = field(default_factory=list)
    ran: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("dialog", self._dialog)

    def _dialog(self, dialog: Any) -> None:
        self.ran.append(dialog.message)
        dialog.dismiss()

    def open(self, path: Path) -> dict[str, Any]:
        self.asked.clear()
        self.page.goto(path.as_uri())
        return dict(self.page.evaluate(LOOK))

    def outside(self, path: Path) -> list[str]:
        return [
            url
            for url in self.asked
            if url != path.as_uri()
            and not url.startswith(("blob:null/", "data:image/jpeg;base64,", "data:font/woff;base64,"))
        ]


def watching(browser: Any) -> Iterator[Watch]:
    """A fixture by ``pytest.fixture(watching)``. The pages' own policy is off, so that escaping alone keeps a script out."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, bypass_csp=True, accept_downloads=False)
    yield Watch(context.new_page())
    context.close()
