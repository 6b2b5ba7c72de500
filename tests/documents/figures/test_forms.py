"""Every document of figures in every form, read back with independent readers."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable

import pytest
from documents.figures.hand import FEEBLE, GEAR, JOINED, solved, wiring_of
from documents.test_lead_table import Page

from harness.documents.figures.endurance import endurance_figures
from harness.documents.figures.equalise import equalise_figures
from harness.documents.figures.load import load
from harness.documents.figures.timeline import timeline_figures
from harness.documents.figures.tolerance import key_of, with_tolerance
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.gear.timeline import timeline
from harness.electrics.tolerance import tolerance_of
from harness.paper import FIGURE_FORMATS
from harness.paper import render_figures as render
from harness.paper.sheet import Figures


def _timeline() -> Figures:
    wiring = wiring_of(GEAR)
    return timeline_figures(wiring.plan, timeline(wiring, "gear"))


def _equalise() -> Figures:
    wiring = wiring_of(JOINED)
    return equalise_figures(wiring.plan, equalise(wiring))


def _endurance() -> Figures:
    wiring = wiring_of()
    return endurance_figures(wiring.plan, endurance(wiring))


def _spread() -> Figures:
    found = solved(FEEBLE)
    draws = tolerance_of(found.outcome.wiring, draws=20)
    return with_tolerance(load(found), draws, {key_of(row) for row in found.rows})


NASTY = FEEBLE.replace("servos:\n  a:", 'servos:\n  "=a":').replace(
    "{moving: all,", "{about: '<b>&amp; \"more\"', moving: all,"
)
MAKERS: dict[str, Callable[[], Figures]] = {
    "load": lambda: load(solved(FEEBLE)),
    "case": lambda: load(solved(case="wave")),
    "at": lambda: load(solved(), "a"),
    "nasty": lambda: load(solved(NASTY)),
    "timeline": _timeline,
    "equalise": _equalise,
    "endurance": _endurance,
    "spread": _spread,
}


@pytest.fixture(params=list(MAKERS), scope="module")
def figures(request: pytest.FixtureRequest) -> Figures:
    return MAKERS[request.param]()


def test_csv_is_rfc_4180_and_starts_no_formula(figures: Figures) -> None:
    text = render(figures, "csv")
    assert "\n" not in text.replace("\r\n", "")
    head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert tuple(head) == figures.columns
    assert len(rows) == len(figures.records) > 0
    assert {len(row) for row in rows} == {len(head)}
    for row in rows:
        for cell in row:
            assert cell[:1] not in set("=+@\t\r")
            assert not cell.startswith("-") or float(cell) < 0


def test_csv_holds_the_numbers_of_its_records(figures: Figures) -> None:
    rows = csv.DictReader(io.StringIO(render(figures, "csv"), newline=""))
    for row, record in zip(rows, figures.records, strict=True):
        for column, value in record.items():
            if isinstance(value, float) and row[column]:
                held = pytest.approx(value, rel=5e-7, abs=1e-9)  # seven digits
                assert float(row[column]) == held


def test_json_has_no_nan_and_names_the_plan(figures: Figures) -> None:
    data = json.loads(render(figures, "json"), parse_constant=pytest.fail)
    assert {"document", "format", "aircraft", "revision"} <= set(data)


def test_html_nests_and_needs_nothing_from_elsewhere(figures: Figures) -> None:
    text = render(figures, "html")
    page = Page()
    page.feed(text)
    page.close()
    assert page.open == []
    assert text.startswith("<!doctype html>")
    assert not {"src", "onclick", "style"} & set(page.attributes)
    assert [link for link in page.links if not link.startswith(("#", "data:,"))] == []
    assert "url(" not in text


def test_html_has_the_cells_of_the_sheet(figures: Figures) -> None:
    page = Page()
    page.feed(render(figures, "html"))
    want = []
    for table in figures.sheet.tables:
        want.append([column.title for column in table.columns])
        for group in table.groups:
            want += [[group.title]] if group.title else []
            want += [[cell.text for cell in row] for row in group.rows]
    assert page.rows == want


def test_a_cell_in_colour_says_it_in_words_too(figures: Figures) -> None:
    """WCAG 2.x, use of colour: what is beyond a limit has a word or a percentage beside it."""
    for table in figures.sheet.tables:
        for group in table.groups:
            for row in group.rows:
                for cell in row:
                    if cell.tone == "danger":
                        assert re.search(r"OVER|LOW|HIGH|%|[a-z]{4}", cell.text)


def test_the_text_table_fits_a_terminal_and_says_all(figures: Figures) -> None:
    text = render(figures, "table")
    assert text.isascii()
    assert max(map(len, text.split("\n"))) <= 110
    words = set(text.split())
    for table in figures.sheet.tables:
        for group in table.groups:
            assert {w for row in group.rows for cell in row for w in cell.text.split()} <= words


def test_every_sheet_defers_to_a_wattmeter_and_the_makers(figures: Figures) -> None:
    for to in ("table", "html"):
        text = " ".join(render(figures, to).split())
        assert "they do not replace a wattmeter" in text
        assert "The makers' instructions and your local rules come first." in text.replace(
            "&#x27;", "'"
        )


@pytest.mark.parametrize("name", MAKERS)
def test_the_same_bytes_twice(name: str) -> None:
    one, two = MAKERS[name](), MAKERS[name]()
    assert [render(one, to) for to in FIGURE_FORMATS] == [render(two, to) for to in FIGURE_FORMATS]


def test_another_form_is_refused() -> None:
    with pytest.raises(ValueError, match='not as "xml"'):
        render(load(solved()), "xml")
