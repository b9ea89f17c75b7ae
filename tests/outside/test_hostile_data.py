"""Hostile text in the files that other programs read: no formula in a table, no address but of the web, no name but of a file."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from hostile import Hostile, hostile_files, yaml_of

from scriptkit.captions.profiles import profile_of
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import rate_of, write_log

hostile = pytest.fixture(hostile_files, scope="module")


def test_what_is_data_stays_data_and_links_are_web_addresses(hostile: Hostile) -> None:
    for path in hostile.files(".jsonld"):
        raw = path.read_text(encoding="utf-8")
        assert not set("<>\u2028\u2029\u202e\u2066\0") & set(raw)
        found = re.findall(r'"(?:url|contentUrl|thumbnailUrl|image|embedUrl|@id|@context)": ?"([^"]*)"', raw)
        assert found
        assert all(address.startswith("https://") for address in found)
    for path in (p for p in hostile.files(".txt") if p.name in ("description.txt", "pinned-comment.txt")):
        text = path.read_text(encoding="utf-8")
        assert not set("<>\u2028\u2029\u202e\u2066\0\x1b") & set(text), path


@pytest.mark.parametrize(
    "address",
    ["javascript:alert('ran')", "data:text/html,<script>alert('ran')</script>", "file:///etc/passwd", "//in.invalid/x", "https://in.invalid/\"onclick=alert('ran')",
     "https://in.invalid/<script>", "https://in.invalid/\u2028x", "vbscript:x", " https:", "https://", "https://in.invalid/\nx"],
)  # fmt: skip
@pytest.mark.parametrize("where", ["links", "url", "picture"])
def test_only_web_addresses_are_links(tmp_path: Path, where: str, address: str) -> None:
    link = {"links": [{"to": address, "text": "x"}]} if where == "links" else {"video": {where: address}}
    dish = {
        "dish": "D",
        "servings": 1,
        "ingredients": {"leek": "50 g"},
        "steps": [{"stage": "cook", "do": "Stir.", "add": "leek"}],
        **link,
    }
    (tmp_path / "d.yaml").write_text(yaml_of(dish), encoding="utf-8")
    assert "link" in {p.code for p in read_source(str(tmp_path / "d.yaml")).problems}


def test_no_cell_of_any_table_is_a_formula(hostile: Hostile) -> None:
    tables = hostile.files(".csv")
    assert {p.name for p in tables} == {"shoot-list.csv", "buying.csv", "paper-edit.csv"}
    evil = re.compile(r"=HYPERLINK|\+1\+cmd|-2\+3|@SUM|=1\+1|\uff1d1\+1")
    guarded = 0
    for path in tables:
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")):
            for cell in row:
                assert cell.lstrip(" \u00b7\u00a0")[:1] not in tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20"), (path, cell)
                assert cell.isprintable(), (path, cell)
                guarded += cell.startswith("'") and evil.search(cell) is not None
    assert guarded > 10


def test_a_log_is_read_back_as_it_was_written(hostile: Hostile) -> None:
    path = hostile.folder / "log.csv"
    takes = read_log(path.read_bytes(), "log.csv", hostile.source, hostile.shots).usable("log.csv")
    text = write_log(takes, hostile.source.name, rate_of(hostile.source))
    assert not [
        c
        for row in csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""))
        for c in row
        if c[:1] in tuple("=+-@\t\r\uff1d")
    ]
    again = read_log(text.encode(), "again.csv", hostile.source, hostile.shots).usable("again.csv")
    assert [(t.shot, t.card, t.clip, t.remark, t.additions, t.verdict) for t in again] == [
        (t.shot, t.card, t.clip, t.remark, t.additions, t.verdict) for t in takes
    ]
    assert any(t.remark for t in takes)


def test_a_profile_of_a_hostile_name_is_a_file_name(tmp_path: Path) -> None:
    for name in ("=1+1.yaml", "\u202elmay.yaml", "🐟.yaml", "a b .yaml", "CON.yaml"):
        (tmp_path / name).write_text("lines: 1\n", encoding="utf-8")
        assert profile_of(str(tmp_path / name)).lines == 1
