"""A cook's own templates: before ours, within their bounds, and told where they go wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from one_problem import problem

from scriptkit.documents import render, template_text
from scriptkit.papers.mise_en_place import mise_en_place_of
from scriptkit.papers.page import Page, values_of
from scriptkit.problems import CannotDo


def own(folder: Path, text: str | bytes, name: str = "own.html") -> str:
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(folder)


def test_a_value_that_there_is_not_is_told(tmp_path: Path) -> None:
    folder = own(tmp_path / "t", "{{ title }} {{ titel }}")
    with pytest.raises(CannotDo) as wrong:
        render("own.html", folder, title="Bisque")
    assert problem(wrong) == (
        str(Path(folder) / "own.html"),
        "template",
        "the template cannot be filled in: 'titel' is undefined",
    )


def test_an_own_template_comes_before_ours_and_may_build_on_it(tmp_path: Path) -> None:
    text = '{% extends "page.html" %}{% block kind %}Own words{% endblock %}'
    folder = own(tmp_path / "t", text, "mise-en-place.html")
    mise = values_of(mise_en_place_of([], []))
    assert "Own words" in render("mise-en-place.html", folder, page=Page("T"), **mise)
    assert "Own words" not in render("mise-en-place.html", "", page=Page("T"), **mise)


@pytest.mark.parametrize(
    "text",
    [
        "{% if %}",
        "{{ 1 / 0 }}",
        "{{ 1 + 'a' }}",
        "{{ title.nothing }}",
        "{{ 'x'|nofilter }}",
        "{% include 'no-such.html' %}",
        "{% extends 'own.html' %}",
        "{{ range(10 ** 9)|list }}",
        "{{ [].append(1) }}{{ (1).__class__ }}",
        b"\xff\xfe",
    ],
)
def test_an_own_template_that_goes_wrong_is_told_and_never_a_traceback(tmp_path: Path, text: str | bytes) -> None:
    with pytest.raises(CannotDo) as wrong:
        render("own.html", own(tmp_path / "t", text), title="Bisque")
    assert problem(wrong)[1] == "template"


@pytest.mark.parametrize(
    "text",
    [
        "{{ ''.__class__.__mro__ }}",
        "{{ title.__init__.__globals__ }}",
        "{{ cycler.__init__.__globals__.os }}",
        "{{ (title|attr('__class__')).__base__ }}",
        "{{ '{0.__class__}'.format(title).__class__ }}",
    ],
)
def test_the_sandbox_keeps_an_own_template_from_the_machine(tmp_path: Path, text: str) -> None:
    with pytest.raises(CannotDo):
        render("own.html", own(tmp_path / "t", text), title="Bisque")


def test_a_template_reads_no_file_outside_its_folders(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    with pytest.raises(CannotDo):
        render("own.html", own(tmp_path / "t", "{% include '../secret.txt' %}"))


@pytest.mark.parametrize(
    "text",
    [
        "{% include '/etc/passwd' %}",
        "{% import '../secret.txt' as s %}",
        "{% from '../secret.txt' import s %}",
        "{% extends '../secret.txt' %}",
        "{% include '..\\\\secret.txt' %}",
        "{% include 'link.html' %}",
        "{% include 'aside/secret.txt' %}",
    ],
)
def test_nor_by_a_link_nor_an_import(tmp_path: Path, text: str) -> None:
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    folder = own(tmp_path / "t", text)
    (tmp_path / "t" / "link.html").symlink_to(tmp_path / "secret.txt")
    (tmp_path / "t" / "aside").symlink_to(tmp_path)
    with pytest.raises(CannotDo) as wrong:
        render("own.html", folder)
    assert problem(wrong)[1] == "template"


def test_a_folder_that_is_a_link_is_the_folder_it_leads_to(tmp_path: Path) -> None:
    own(tmp_path / "t", "{% include 'part.html' %}")
    own(tmp_path / "t", "part", "part.html")
    (tmp_path / "link").symlink_to(tmp_path / "t")
    assert render("own.html", str(tmp_path / "link")) == "part"


@pytest.mark.parametrize(
    ("target", "told"), [("/dev/zero", "outside"), ("gone", "not a file"), ("large", "larger than 1 MB")]
)
@pytest.mark.parametrize("name", ["pinned-comment.txt", "stage.js"])
def test_what_stands_in_the_place_of_ours_and_is_no_template_is_told(
    tmp_path: Path, name: str, target: str, told: str
) -> None:
    folder = own(tmp_path / "t", "x" * 1_000_001, "large")
    (tmp_path / "t" / name).symlink_to(target)
    with pytest.raises(CannotDo) as wrong:
        template_text(name, folder) if name.endswith(".js") else render(name, folder)
    assert told in problem(wrong)[2]


TOO_MUCH = [
    ("{{ 'x' * 10**9 }}", "at once"),
    ("{{ [1] * 10**9 }}", "at once"),
    ("{% set n = namespace(x='xx') %}{% for i in range(60) %}{% set n.x = n.x + n.x %}{% endfor %}", "at once"),
    ("{{ 2 ** (2 ** 40) }}", "power"),
    ("{% set n = namespace(x=3) %}{% for i in range(60) %}{% set n.x = n.x * n.x %}{% endfor %}", "number"),
    ("{{ range(10**9) }}", "a number of more"),
    ("{{ 'x'|center(10**9) }}", "a number of more"),
    ("{{ 'x'.ljust(10**9) }}", "a number of more"),
    ("{{ title|slice(10**9)|list }}", "a number of more"),
    ("{{ '%1000000000d'|format(1) }}", "width"),
    ("{{ '%1000000000d' % 1 }}", "width"),
    ("{{ '{:1000000000}'.format(1) }}", "width"),
    ("{{ lipsum() }}", "undefined"),
    ("{% macro f() %}{{ f() }}{% endmacro %}{{ f() }}", "too deep"),
    ("{% include 'own.html' %}{% include 'own.html' %}", "too deep"),
    ("{% block a %}{{ self.a() }}{{ self.a() }}{% endblock %}", "too deep"),
    ("{{ (" * 30_000, "too deep"),
    ("{% for i in range(99999) %}{% for j in range(99999) %}{% endfor %}{% endfor %}", "seconds"),
    ("{% for i in range(99999) %}{% for j in range(99999) if false %}{% endfor %}{% endfor %}", "seconds"),
    ("{% macro f(n) %}{% if n %}{{ f(n - 1) }}{{ f(n - 1) }}{% endif %}{% endmacro %}{{ f(60) }}", "seconds"),
    ("{% set r = range(20000)|list %}{{ r|select('in', r)|list|length }}", "seconds"),
]


@pytest.mark.filterwarnings(
    "ignore::pytest.PytestUnraisableExceptionWarning"
)  # what interrupts may meet the garbage collector
@pytest.mark.parametrize(("text", "told"), TOO_MUCH, ids=[t[:40] for t, _ in TOO_MUCH])
def test_an_own_template_has_its_time_and_its_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, told: str
) -> None:
    if told == "seconds":  # the other bounds must be met first, however slow the machine
        monkeypatch.setattr("scriptkit.user_templates.MOST_SECONDS", 0.1)
    with pytest.raises(CannotDo) as wrong:
        render("own.html", own(tmp_path / "t", text), title="Bisque")
    assert problem(wrong)[1] == "template"
    assert told in problem(wrong)[2]


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="only Linux tells how much is in use")
@pytest.mark.parametrize(
    "text", ["{{ range(99999)|join('x' * 999999) }}", "{{ ('x' * 999999).replace('x', 'x' * 999999) }}"]
)
def test_what_no_bound_foresees_ends_at_the_memory(tmp_path: Path, text: str) -> None:
    import resource

    before = resource.getrlimit(resource.RLIMIT_AS)
    with pytest.raises(CannotDo) as wrong:
        render("own.html", own(tmp_path / "t", text))
    assert "too much memory" in problem(wrong)[2]
    assert resource.getrlimit(resource.RLIMIT_AS) == before


def test_what_own_templates_do_every_day_is_not_refused(tmp_path: Path) -> None:
    text = (
        "{{ '%.1f'|format(2.25) }} {{ '{:>4}'.format(7) }} {{ '%s!' % title }} {{ [2, 1]|sort|join('-') }} {{ '-' * 3 }} {{ 2 ** 8 }} "
        "{% for x in range(3) if x %}{{ loop.index }}{{ x }}{% else %}none{% endfor %} {% macro m(a) %}<{{ a }}>{% endmacro %}{{ m(1) }} "
        "{{ {'a': 1}|dictsort|length }} {{ (title * 3)|truncate(9) }} {{ [1, 2]|map('string')|list|length }}{% set y = [1] + [2] %} {{ y|sum }}"
    )
    assert render("own.html", own(tmp_path / "t", text), title="Bisque").split() == [
        "2.2", "7", "Bisque!", "1-2", "---", "256", "1122", "<1>", "1", "Bisque...", "2", "3",
    ]  # fmt: skip


def test_an_own_script_of_the_stage_page_comes_first_and_must_be_text(tmp_path: Path) -> None:
    assert template_text("stage.js", own(tmp_path / "t", "let own;\r\n", "stage.js")) == "let own;\n"
    assert template_text("stage.js", own(tmp_path / "none", "", "other.html")) == template_text("stage.js")
    with pytest.raises(CannotDo) as wrong:
        template_text("stage.js", own(tmp_path / "t", b"\xff\xfe", "stage.js"))
    assert problem(wrong)[:2] == (str(tmp_path / "t" / "stage.js"), "template")
