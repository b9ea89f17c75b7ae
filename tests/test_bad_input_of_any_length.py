"""Small files that once ended in a traceback, or took minutes: each is told, or read, in one go."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess
from typing import Any

import pytest
from conftest import EXAMPLES, Table

from scriptkit.captions.profiles import profile_of
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.drafting import page
from scriptkit.drafting.source import recipe_of
from scriptkit.shoot.log import log_cells
from scriptkit.shoot.log.log_cells import names_in
from scriptkit.timed_text.markup import unescaped
from scriptkit.timed_text.reading import parse_captions

Run = Callable[..., "CompletedProcess[str]"]

MANY = "9" * 5000
"""More figures than Python makes a number of."""


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('dish: Out\nservings: 1\ningredients:\n  a: {amount: 1 g, dish: "x\\0y"}\n', "4:26"),
        ('meal: Out\ndishes:\n  - {dish: "x\\0y"}\n', "3:12"),
    ],
)
def test_a_name_that_no_file_can_have_is_told_at_its_place(table: Table, run: Run, text: str, place: str) -> None:
    file = table.write("out.yaml", text)
    done = run("check", file)
    assert done.returncode == 1
    assert f"{file}:{place}: error: {table.folder}/x·y: the file cannot be opened: no file can have this name [dish-file]\n" in done.stderr  # fmt: skip
    assert run("macros", file).returncode == 2


@pytest.mark.parametrize("name", ["undefined", "idna", "punycode", "hex", "no-such-charset"])
def test_a_page_that_names_a_strange_character_set_is_read_as_latin_1(name: str) -> None:
    data = json.dumps({"@type": "Recipe", "name": "Caf#", "recipeIngredient": ["100 g butter"]})
    text = f"<html><meta charset={name}><script type=application/ld+json>{data}</script></html>"
    found = recipe_of(text.encode().replace(b"#", b"\xe9"), "page.html")
    assert found.ingredients == ("100 g butter",)
    assert found.name.startswith("Caf")


@pytest.mark.parametrize(
    ("name", "read"),
    [
        ("a <![ b", "a <![ b"), ("a <![x[ b", "a <![x[ b"), ("a <![x[ b ]]> c", "a c"), ("a <![CDATA[b]]> c", "a c"),
        (f"x &#{MANY}; y", "x \ufffd y"), (f"x &#{MANY} y", "x \ufffd y"), ("&#189; cup", "½ cup"), ("2 < 3", "2 < 3"),
    ],
)  # fmt: skip
def test_a_text_of_recipe_data_is_read_as_html_says(name: str, read: str) -> None:
    raw = json.dumps({"@type": "Recipe", "name": name, "recipeIngredient": ["100 g butter"]}).encode()
    assert recipe_of(raw, "page.json").name == read


@pytest.mark.parametrize("unit", ["<a ", "<?", "<![", "<a b='", "</", "<!-- ", "<!d "])
def test_no_tag_is_begun_after_the_last_that_ends(unit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A parser looks for the end of each, up to the end of the page: minutes for 100 kB."""
    fed: list[str] = []

    class Reader(page._Reader):
        def feed(self, data: str) -> None:
            fed.append(data)
            super().feed(data)

    monkeypatch.setattr(page, "_Reader", Reader)
    text = '<div itemscope itemtype="https://schema.org/Recipe"><b itemprop=name>x</b>' + unit * 2000
    (item,) = page.items_of(text)
    assert item["name"] == ["x"]
    assert page.plain("<b>x</b>" + unit * 2000).startswith("x")
    assert all("<" not in one[one.rfind(">") :] for one in fed)


def test_a_reference_to_no_character_in_a_cue_is_a_broken_character(run: Run, table: Table) -> None:
    assert unescaped(f"a &#{MANY}; b &amp; c") == "a \ufffd b & c"
    cue = f"00:00:01{{}}000 --> 00:00:02{{}}000\nIn goes the butter and &#{MANY};\n"
    for name, text in (("a.srt", "1\n" + cue.replace("{}", ",")), ("a.vtt", "WEBVTT\n\n" + cue.replace("{}", "."))):
        file = table.write(name, text)
        assert run("proof", file, "--fix", str(table.folder / f"new-{name}")).returncode in (0, 1)
        done = run("coverage", str(EXAMPLES / "seared-hake.yaml"), "--transcript", file, "-o", str(table.folder))
        assert done.returncode == 1
        assert "Traceback" not in done.stderr


@pytest.mark.parametrize("figures", [7, 400, 5000])
def test_hours_of_more_than_a_century_are_no_time(figures: int, run: Run, table: Table) -> None:
    hours = "9" * figures
    file = table.write("a.vtt", f"WEBVTT\n\n{hours}:00:01.000 --> {hours}:00:02.000\nhi\n")
    done = run("proof", file, "--fix", str(table.folder / "x.vtt"), "--fps", "29.97 drop")
    assert done.returncode == 2
    assert "the file has no cues" in done.stderr
    talk = run("coverage", str(EXAMPLES / "seared-hake.yaml"), "--transcript", file, "-o", str(table.folder))
    assert talk.returncode == 2
    assert "broken-time" in talk.stderr
    assert not Path(table.folder / "x.vtt").exists()


def test_hours_of_a_century_are_a_time() -> None:
    read = parse_captions("WEBVTT\n\n876000:00:01.000 --> 876000:00:03.000\nhi\n", "a.vtt")
    assert [c.start_ms for c in read.cues] == [876_000 * 3_600_000 + 1000]
    assert proof(Sheet(read, profile_of("education"), None)) is not None


def test_a_cell_of_many_names_is_read_in_one_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each part is held only against names of as many parts as a known one has."""
    folded: list[str] = []
    compare: Callable[[str], str] = log_cells.folded

    def counted(text: str) -> str:
        folded.append(text)
        return compare(text)

    monkeypatch.setattr(log_cells, "folded", counted)
    known = ["olive oil", "salt, smoked"]
    for text, found in (("; olive oil" * 500, [0]), ("; thing" * 500, []), ("; salt, smoked" * 500, [1])):
        folded.clear()
        assert names_in(text, known)[0] == found
        assert len(folded) < 2500
        assert max(map(len, folded)) < 40


def test_names_with_signs_between_them_are_still_the_longest() -> None:
    known = ["salt", "salt, smoked", "half + half", "a/b/c"]
    assert names_in("salt, smoked; salt; half + half, a/b/c", known) == ([1, 0, 2, 3], [])
    assert names_in("a/b/d", known) == ([], ["a", "b", "d"])


def test_every_time_of_a_file_is_bounded() -> None:
    kinds: dict[str, Any] = {"srt": ",", "vtt": "."}
    for kind, sign in kinds.items():
        head = "WEBVTT\n\n" if kind == "vtt" else "1\n"
        read = parse_captions(f"{head}{MANY}:{MANY}:{MANY}{sign}{MANY} --> {MANY}\nhi\n", f"a.{kind}")
        assert read.cues == ()
        assert re.fullmatch(r"“9{60}” is not a line of times", read.repairs[0].message)


LONG = "a" * 5000 + ".yaml"
DEEP = "/".join(["d" * 200] * 40) + "/x.yaml"


@pytest.mark.parametrize("name", [LONG, DEEP, "x\0y.yaml"], ids=["long", "deep", "nul"])
@pytest.mark.parametrize(
    "command",
    [
        ("check", "NAME"), ("macros", "NAME"), ("pack", "NAME", "-o", "out"), ("pack", "HAKE", "-o", "NAME"), ("shoot", "HAKE", "-o", "NAME"),
        ("publish", "HAKE", "-o", "NAME"), ("captions", "HAKE", "-o", "NAME"), ("new", "Soup", "-o", "NAME"), ("new", "--from", "NAME"),
        ("proof", "CUT", "--fix", "NAME"), ("conform", "CUT", "--offset", "1", "-o", "NAME"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_a_name_that_no_disk_takes_is_told_and_is_no_fault_of_ours(
    command: tuple[str, ...], name: str, run: Run, tmp_path: Path
) -> None:
    files = {"NAME": name, "HAKE": str(EXAMPLES / "seared-hake.yaml"), "CUT": str(EXAMPLES / "harbour-supper-cut.srt")}
    done = run(*(files.get(word, word) for word in command))
    assert done.returncode == 2
    assert "[broke]" not in done.stderr and "fix: " in done.stderr
    assert list(tmp_path.rglob("*")) == []
