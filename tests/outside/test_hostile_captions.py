"""Hostile text on cards, in captions and in chapters, opened in a real browser: text it was, and text it stays."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hostile import Hostile, hostile_files
from watching import Watch, watching

from scriptkit.timed_text.reading import parse_captions

hostile = pytest.fixture(hostile_files, scope="module")
watch = pytest.fixture(watching)


def test_the_cards_are_pictures_with_text_and_nothing_else(hostile: Hostile, watch: Watch) -> None:
    cards = sorted((hostile.folder / "out-cards").glob("[!.]*"))
    assert len(cards) == 12
    assert all(re.fullmatch(r"[\w-]{1,60}\.svg", path.name) for path in cards)
    for path in cards[::3]:  # one size of each
        found = watch.open(path)
        watch.page.evaluate(
            "() => { for (const e of document.querySelectorAll('*')) e.dispatchEvent(new MouseEvent('click', {bubbles: true})) }"
        )
        assert set(found["kinds"]) == {"svg", "title", "style", "rect", "text"}, path
        assert (found["handlers"], found["links"], watch.outside(path), watch.ran) == ([], [], [], [])
        words = watch.page.evaluate("[...document.querySelectorAll('text')].map(e => e.textContent)")
        assert any(re.match(r"h\d+q", w, re.IGNORECASE) for w in words) or "portions" in path.name


CUES = """async text => {
  const video = document.createElement('video'), track = document.createElement('track');
  track.src = URL.createObjectURL(new Blob([text], {type: 'text/vtt'})); track.default = true;
  video.append(track); document.body.append(video); track.track.mode = 'showing';
  await new Promise((done, failed) => { track.onload = done; track.onerror = failed });
  return [...track.track.cues].map(c => { const shown = c.getCueAsHTML(); document.body.append(shown.cloneNode(true));
    return [c.text, shown.textContent, [...shown.querySelectorAll('*')].map(e => e.localName)] });
}"""


def test_captions_and_chapters_hold_text_and_no_elements(hostile: Hostile, watch: Watch, tmp_path: Path) -> None:
    page = tmp_path / "player.html"
    page.write_text("<!doctype html><title>player</title>", encoding="utf-8")
    tracks = hostile.files(".vtt")
    assert {p.name for p in tracks} == {"overlay.vtt", "dialogue.vtt", "overlays.vtt", "chapters.vtt"}
    for path in tracks:
        watch.open(page)
        cues = watch.page.evaluate(CUES, path.read_text(encoding="utf-8"))
        assert len(cues) == path.read_text(encoding="utf-8").count(" --> ") > 1, path
        assert [kinds for _, _, kinds in cues if set(kinds) - {"i", "b", "u", "c", "span"}] == [], path
        assert any(re.search(r"h\d+q", shown, re.IGNORECASE) for _, shown, _ in cues), path
        assert watch.ran == []
        assert watch.outside(page) == []
    for path in hostile.files(".srt"):  # a player of SubRip takes the text of a cue for markup
        if path.name == "dialogue.srt":  # a person's own file in its own kind: its words are moved, and not changed
            continue
        text = path.read_text(encoding="utf-8-sig")
        read = parse_captions(text, path.name).cues
        assert len(read) == text.count(" --> ") > 1, path
        kinds = watch.page.evaluate(
            "texts => texts.flatMap(t => { const d = document.createElement('div'); d.innerHTML = t; document.body.append(d);"
            " return [...d.querySelectorAll('*')].map(e => e.localName) })",
            [c.text for c in read],
        )
        assert set(kinds) <= {"i", "b", "u"}, path
        watch.page.wait_for_timeout(20)
        assert (watch.ran, watch.outside(page)) == ([], [])
    for path in hostile.files(".ttml"):
        kinds = watch.page.evaluate(
            "text => [...new DOMParser().parseFromString(text, 'application/xml').querySelectorAll('*')].map(e => e.localName)",
            path.read_text(encoding="utf-8"),
        )
        assert set(kinds) <= {
            "tt",
            "head",
            "metadata",
            "title",
            "styling",
            "style",
            "layout",
            "region",
            "body",
            "div",
            "p",
            "br",
            "span",
        }, path
