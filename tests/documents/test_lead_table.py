"""The formats of the lead list, read back with independent readers."""

from __future__ import annotations

import csv
import io
import re
from html.parser import HTMLParser

import pytest
from documents.plans import all_wirings, wiring_of

from harness.documents.leads import TITLES, LeadList, cells, lead_figures, lead_list
from harness.paper import render_figures
from harness.paper.text import TYPED

WIRINGS = all_wirings()
NASTY = """
receivers: {rx: {sockets: 4}}
servos: {"a|b": {plug: rx.1, about: 'say "<b>&amp;" | `x` *y* \\\\ 1, 2; =SUM(A1)', code: "=A|<1>"}}
"""
VOID = {"meta", "br", "link", "input"}
ASIDE = {"k", "unseen"}
"""Classes of words beside a cell's own."""


@pytest.fixture(params=[*WIRINGS, "nasty"])
def leads(request: pytest.FixtureRequest) -> LeadList:
    nasty = request.param == "nasty"
    return lead_list(wiring_of(NASTY) if nasty else WIRINGS[request.param])


def render(leads: LeadList, to: str) -> str:
    """Return a lead list in one form."""
    return render_figures(lead_figures(leads), to)


class Page(HTMLParser):
    """Checks that tags nest, and collects the text of every row's cells.

    What is said to a reader of the page aloud or stands on a narrow screen only is passed over.
    """

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.rows: list[list[str]] = []
        self.aside = False
        self.attributes: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.attributes += [name for name, _ in attrs]
        self.links += [str(value) for name, value in attrs if name in {"href", "src"}]
        self.aside = dict(attrs).get("class") in ASIDE
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"}:
            self.rows[-1].append("")
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
        self.aside = False

    def handle_data(self, data: str) -> None:
        if {"td", "th"} & set(self.open) and not self.aside:
            self.rows[-1][-1] += data


def test_csv_comes_back_as_it_went(leads: LeadList) -> None:
    """RFC 4180: CR LF, quotes doubled; read with the csv module."""
    text = render(leads, "csv")
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert tuple(head) == leads.columns
    back = [dict(zip(head, (cell.removeprefix("'") for cell in row), strict=True)) for row in rows]
    assert back == [dict(row) for row in leads.rows]


def test_csv_starts_no_formula(leads: LeadList) -> None:
    rows = list(csv.reader(io.StringIO(render(leads, "csv"), newline="")))
    assert not [cell for row in rows for cell in row if cell[:1] in {"=", "+", "-", "@"}]


def test_markdown_is_one_table_of_equal_rows(leads: LeadList) -> None:
    """GitHub tables: a pipe that is not escaped starts a cell (GFM specification, tables)."""
    table = [line for line in render(leads, "markdown").split("\n") if line.startswith("|")]
    assert len(table) == len(leads.rows) + 2
    assert {len(re.findall(r"(?<!\\)\|", line)) for line in table} == {len(TITLES) + 1}
    assert set(table[1]) <= set("|- ")


def test_html_nests_and_has_the_same_cells(leads: LeadList) -> None:
    text = render(leads, "html")
    page = Page()
    page.feed(text)
    page.close()
    assert page.open == []
    assert text.startswith("<!doctype html>")
    assert page.rows[0] == list(TITLES)
    assert page.rows[1:] == [["\n".join(cell) for cell in cells(row)] for row in leads.rows]


SHOWN = (
    "label", "lead", "kind", "A part", "A socket", "A place", "A out", "B part", "B place",
    "colour words", "gauge", "length", "crosses joint", "load", "load short", "load not known",
    "rating", "rating short", "notes",
)  # fmt: skip
"""Columns of the CSV whose every word is on the page too; a unit may stand once for two."""
GOES_WITHOUT_SAYING = {"", "main", "motor"}


def test_a_page_row_says_all_that_its_record_says(leads: LeadList) -> None:
    page = Page()
    page.feed(render(leads, "html"))
    for record, row in zip(leads.rows, page.rows[1:], strict=True):
        said = set(re.split(r"[\s:;,()~]+", " ".join(row)))
        want = {
            w for c in SHOWN for w in re.split(r"[\s:;,()~]+", record[c]) if w not in {"A", "mA"}
        }
        assert want - said - GOES_WITHOUT_SAYING == set()


def test_html_needs_nothing_from_elsewhere(leads: LeadList) -> None:
    page = Page()
    page.feed(render(leads, "html"))
    assert not {"src", "onclick", "style"} & set(page.attributes)
    assert [link for link in page.links if not link.startswith(("#", "data:,"))] == []
    assert "url(" not in render(leads, "html")


def test_a_row_about_one_side_has_the_colour_of_that_side(leads: LeadList) -> None:
    heads = re.findall(r'<th scope="row" role="rowheader"(.*?)>', render(leads, "html"))
    found = [set(re.findall(r"left|right", head)) for head in heads]
    assert found == [{row["side"]} - {""} for row in leads.rows]


def test_the_table_fits_and_cuts_nothing_off(leads: LeadList) -> None:
    text = render(leads, "table")
    assert max(map(len, text.split("\n"))) <= 132
    squeezed = set(text.split())
    for row in leads.rows:
        words = {w for c in cells(row) for line in c for w in line.translate(TYPED).split()}
        assert words <= squeezed


def test_the_table_is_plain_text(leads: LeadList) -> None:
    text = render(leads, "table")
    assert "\x1b" not in text
    assert text.isascii() or "nasty" in text
    assert text.endswith("\n") and " ".join(text.split()).endswith("come first.")


def test_an_unknown_format_is_refused() -> None:
    with pytest.raises(ValueError, match="table, csv, markdown, html"):
        render(lead_list(WIRINGS["saltmarsh-19"]), "xml")
