"""A paper as one HTML page: all of it there, safe, with links that lead somewhere."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest
from paper.papers import FULL

from harness.base.colours import contrast, from_hex
from harness.drawing.scene import Group as Drawn
from harness.drawing.scene import Path, Scene, rect_path, text
from harness.paper import render
from harness.paper.blocks import (
    BLANK,
    Block,
    Chapter,
    Heading,
    Paper,
    Picture,
    Points,
    Say,
    Tick,
    Ticks,
    Trace,
    plain_id,
    row_anchor,
)
from harness.paper.html import as_html
from harness.paper.html.blocks import form_of
from harness.paper.html.look import DARK, LIGHT, READS, script, style
from harness.paper.sheet import Cell, Column, Note, RowGroup, Table

VOID = {"meta", "link", "input", "br", "img", "hr", "path", "use"}
NASTY = """</script><script>alert("x")</script> & 'quotes' "double" <b>Möwe</b> ]]> \u2028"""


class Page(HTMLParser):
    """The standard library's own parser: elements, texts, links, and that all are closed."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.raw: list[tuple[str, str]] = []
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in {"script", "style"}:
            self.raw.append((self.open[-1], data))
        else:
            self.texts.append(data)

    @property
    def words(self) -> str:
        return " ".join(" ".join(self.texts).split())

    def all(self, tag: str, **wanted: str) -> list[dict[str, str | None]]:
        return [a for t, a in self.elements
                if t == tag and all(a.get(k) == v for k, v in wanted.items())]  # fmt: skip


def one(*blocks: Block, title: str = "Möwe 19") -> Paper:
    return Paper(title, "about it", "0123abcd", (Chapter("only", "Only", blocks),))


def said(paper: Paper) -> Iterator[str]:
    """Every text of a paper, by walking its blocks."""
    yield from (paper.title, paper.subtitle, paper.revision, *paper.foot)
    for chapter in paper.chapters:
        yield chapter.title
        for block in chapter.blocks:
            yield from _said(block)


def _said(block: Block) -> Iterator[str]:
    if isinstance(block, Heading | Say):
        yield block.text
    elif isinstance(block, Points):
        yield from (item.text for item in block.items)
    elif isinstance(block, Note):
        yield from (block.title, *block.lines)
    elif isinstance(block, Table):
        yield from (block.title, block.about, *(column.title for column in block.columns))
        for group in block.groups:
            yield from (group.title, *(cell.text for row in group.rows for cell in row))
    elif isinstance(block, Ticks):
        for tick in block.items:
            yield from (tick.text, *tick.details, *tick.codes, *(t for _, t in tick.links))
    else:
        yield block.caption


def test_every_word_of_a_paper_is_in_its_page() -> None:
    page = Page(as_html(FULL))
    wanted = [" ".join(words.split()) for words in said(FULL)]
    assert len(wanted) > 200
    assert [words for words in wanted if words not in page.words] == []


def test_the_numbers_of_steps_go_on_where_they_are_told_to() -> None:
    page = as_html(one(Ticks((Tick("a", "one thing"), Tick("b", "another")), start=7)))
    assert re.findall(r'class="number">(\d+)<', page) == ["7", "8"]


def test_nothing_of_a_plan_can_run_or_break_out() -> None:
    """Hostile words everywhere; the parser of the standard library must see only our script."""
    scene = Scene(100, 60, (Drawn(f"lead-{NASTY}", (text(5, 20, NASTY, 8),), ("a b",), NASTY),))
    trace = Trace(NASTY, (f"lead-{NASTY}",), (), (), ((NASTY, (NASTY,)),), NASTY, ((NASTY, NASTY),))
    paper = Paper(NASTY, NASTY, NASTY, (
        Chapter(NASTY, NASTY, (
            Heading(NASTY, f"{NASTY}2"), Say(NASTY, "danger"), Points((Cell(NASTY),)),
            Table(NASTY, (Column(NASTY), Column("b")), (RowGroup(NASTY, ((Cell(NASTY), BLANK),)),)),
            Note(NASTY, (NASTY,)), Picture(scene, NASTY, NASTY, live=True, traces=(trace,)),
            Ticks((Tick(NASTY, NASTY, (NASTY,), (NASTY,), scene, ((NASTY, NASTY),)),)),
        )),
        Chapter("two", NASTY, ()),
    ), (NASTY,))  # fmt: skip
    page = Page(as_html(paper))
    assert [kind for kind, _ in page.raw] == ["style", "script", "script"]
    assert page.raw[2][1] == script()
    assert page.all("b") == []
    data = json.loads(page.raw[1][1])
    assert data["traces"][0]["title"] == NASTY
    ids = [attrs["id"] for _, attrs in page.elements if "id" in attrs]
    assert len(ids) == len(set(ids))


def test_the_policy_lets_only_the_pages_own_script_and_style_run() -> None:
    """The hashes of CSP level 3: base64 of SHA-256 of the element's text, worked out here."""
    page = Page(as_html(FULL))
    (policy,) = [
        a["content"] for a in page.all("meta", **{"http-equiv": "Content-Security-Policy"})
    ]
    rules = dict(part.strip().split(" ", 1) for part in str(policy).split(";"))
    inline = {kind: words for kind, words in page.raw if words in {style(), script()}}
    for kind, rule in (("script", "script-src"), ("style", "style-src")):
        digest = base64.b64encode(hashlib.sha256(inline[kind].encode()).digest()).decode()
        assert rules[rule] == f"'sha256-{digest}'"
    assert rules["default-src"] == rules["form-action"] == rules["base-uri"] == "'none'"


def test_nothing_comes_from_elsewhere() -> None:
    page = as_html(FULL)
    outside = [a for t, a in Page(page).elements for k, v in a.items()
               if k in {"src", "href", "srcset", "action", "data"} and not str(v).startswith(("#", "data:,"))]  # fmt: skip  # noqa: E501
    assert outside == []
    assert not re.search(r"@import|url\(|https?:|//[a-z]+\.", page)


def test_links_lead_to_what_is_there_and_the_rest_is_plain_text() -> None:
    page = Page(as_html(FULL))
    ids = {str(attrs["id"]) for _, attrs in page.elements if "id" in attrs}
    hrefs = {str(a["href"])[1:] for tag in ("a", "use") for a in page.all(tag)}
    assert hrefs <= ids
    assert plain_id(row_anchor("table", "LEAD-41")) in hrefs
    assert plain_id("nowhere") not in hrefs
    assert "gone 3" in page.words


def test_two_places_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="inside"):
        as_html(one(Heading("A", "inside"), Heading("B", "inside")))


LIVE = Scene(200, 100, (
    Drawn("lead-a.plug", (Path(rect_path(10, 10, 90, 4), stroke="#222222"),), ("lead",)),
    Drawn("part-a", (Path(rect_path(100, 5, 40, 20), fill="#FFFFFF"), text(105, 15, "A", 8))),
))  # fmt: skip


def test_pictures_of_one_page_do_not_share_ids() -> None:
    trace = Trace("A", ("lead-a.plug",), ("part-a", "not-drawn"), code="A-1")
    pictures = [Picture(LIVE, f"view {n}", "alt", live=True, traces=(trace,)) for n in range(3)]
    page = Page(as_html(one(*pictures, Ticks((Tick("k", "do", codes=("A-1", "B-2")),)))))
    ids = [str(attrs["id"]) for _, attrs in page.elements if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert len([i for i in ids if i.endswith("lead-a.plug")]) == 3
    (data,) = [json.loads(words) for kind, words in page.raw if words.startswith('{"ids"')]
    assert len(data["traces"]) == 1  # said once, for all views
    assert [data["ids"][n] for n in data["traces"][0]["lit"]] == ["part-a"]
    chips = [a for a in page.all("a") if a.get("class") == "chip"]
    assert [str(a["href"])[1:] in ids for a in chips] == [True]  # B-2 is drawn nowhere


def test_drawn_text_is_twelve_pixels_high_at_least() -> None:
    page = as_html(one(Picture(LIVE, "c", "a")))
    found = re.search(r'<svg width="([\d.]+)" height="([\d.]+)" viewBox="0 0 200 100"', page)
    assert found is not None
    assert (float(found[1]), float(found[2])) == (300, 150)  # 8 points are 12 pixels


def keys(page: str) -> list[str | None]:
    return [a["data-word"] for a in Page(page).all("input") if "data-word" in a]


def rail(*names: str) -> Table:
    columns = Column("no"), Column("test"), Column("volts")
    rows = tuple((Cell(str(n)), Cell(name), Cell("V", "blank")) for n, name in enumerate(names, 1))
    return Table("Rail", columns, (RowGroup("", rows),))


def test_a_field_is_kept_by_what_it_is_about_not_by_its_number() -> None:
    old, new = keys(as_html(one(rail("rx", "esc")))), keys(as_html(one(rail("gear", "rx", "esc"))))
    assert new[1:] == old
    assert len(set(new)) == 3
    twins = keys(as_html(one(rail("rx", "rx"))))
    assert len(set(twins)) == 2


def test_what_is_kept_belongs_to_document_and_aircraft_not_to_the_revision() -> None:
    def box(paper: Paper) -> Any:
        return Page(as_html(paper)).all("html")[0]["data-box"]

    book = one(title="Möwe 19: build book")
    assert box(book) == box(replace(book, revision="ffff"))
    assert box(book) != box(replace(book, title="Möwe 20: build book"))
    steps = one(title="Order of work: Möwe 19")
    assert box(steps) != box(replace(steps, title="Order of work: Möwe 20"))
    assert len({box(steps), box(book), box(replace(book, title="Möwe 19: lengths"))}) == 3


@pytest.mark.parametrize(
    ("columns", "cell", "form"),
    [
        (("a", "b", "c"), "x", "plain"),
        (("a", "b", "c", "d", "e"), "x", "cards"),
        (("a", "#b", "#c", "#d", "#e"), "x", "rows"),
        (("a", "#b", "#c"), "blank", "cards"),
    ],
)
def test_tables_take_the_form_a_narrow_screen_can_show(
    columns: tuple[str, ...], cell: str, form: str
) -> None:
    heads = tuple(Column(c.strip("#"), c.startswith("#")) for c in columns)
    row = (Cell("row"), *(Cell("", cell.strip("x")) for _ in heads[1:]))
    assert form_of(Table("T", heads, (RowGroup("", (row,)),))) == form


def test_a_short_word_at_the_head_of_a_row_is_not_broken() -> None:
    """A label code, `DOOR-L`, has hyphens at which a browser would break it."""
    rows = tuple((Cell(word), Cell("")) for word in ("DOOR-L", "door-left-ext", "a code"))
    page = Page(as_html(one(Table("T", (Column("a"), Column("b")), (RowGroup("", rows),)))))
    assert [a.get("class") for a in page.all("th", scope="row")] == ["code", None, None]


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
def test_ink_and_soft_ink_read_on_every_ground(look: dict[str, str]) -> None:
    grounds = [from_hex(look[name]) for name in ("paper", "ground", "raised", "chip")]
    for ink in ("ink", "soft", "link"):
        assert all(contrast(from_hex(look[ink]), ground) >= READS for ground in grounds), ink


def looks() -> list[dict[str, str]]:
    """The colours of the page as its style has them: on light paper, then on dark."""
    found = re.findall(r"\{ (--paper:.*?) color-scheme", style())
    return [dict(re.findall(r"--([\w-]+): (#[0-9A-F]{6});", words)) for words in found]


def test_tones_read_and_sides_are_seen_on_every_ground() -> None:
    """WCAG 2.x: text 4.5:1, graphics 3:1; on paper, cards and the grounds of headings."""
    assert len(looks()) == 3  # light, dark by the device's wish, dark by the button
    for look in looks():
        grounds = [from_hex(look[name]) for name in ("paper", "ground", "raised")]
        for tone in ("danger", "warning", "ok"):
            assert all(contrast(from_hex(look[tone]), ground) >= READS for ground in grounds), tone
        for side in ("left", "right"):
            assert all(contrast(from_hex(look[side]), ground) >= 3 for ground in grounds), side


def test_the_same_paper_gives_the_same_page() -> None:
    assert as_html(FULL) == render(FULL, "html")
    assert len(as_html(replace(FULL, chapters=()))) > 0


def test_a_paper_of_one_chapter_has_no_contents() -> None:
    page = Page(as_html(one(Say("word"))))
    assert page.all("nav") == []
    assert not [a for a in page.all("a") if a["href"] == "#_contents"]
