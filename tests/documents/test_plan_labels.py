"""Labels made from a plan: both ends of each lead, with where it goes."""

from __future__ import annotations

import io
from itertools import groupby

import pytest
from documents.plans import all_wirings, wiring_of
from pypdf import PdfReader

from harness.documents.labels import (
    Label,
    find_stock,
    labels_pdf,
    stock_from_mapping,
    test_page_pdf,
)
from harness.documents.labels.layout import lay_out
from harness.documents.labels.pdf import LEGEND_ARROW
from harness.documents.plan_labels import labels_for, reached, usual_stock
from harness.wiring.codes import codes_of
from harness.wiring.leads import leads_of

WIRINGS = all_wirings()


@pytest.mark.parametrize("name", WIRINGS)
def test_one_label_an_end_and_the_ends_together(name: str) -> None:
    """A label at both ends of each lead: common practice, and FAA AC 43.13-1B chapter 11."""
    wiring = WIRINGS[name]
    codes = codes_of(wiring)
    labels = labels_for(wiring)
    runs = {code: len(list(run)) for code, run in groupby(label.code for label in labels)}
    assert runs == {codes[lead.key]: len(reached(lead)) for lead in leads_of(wiring)}
    assert sum(runs.values()) == len(labels)
    assert all(label.end and label.text for label in labels)


TEXT = """
places: {wing-left: {side: left}, wing-right: {side: right}}
receivers: {rx: {sockets: 6%s}}
servos:
  aileron-left: {moves: aileron, place: wing-left, plug: aileron-y.1}
  aileron-right: {moves: aileron, place: wing-right, plug: aileron-y.2}
leads: {aileron-y: {kind: y, plug: rx.6}}
packs: {pack: {chemistry: lipo, cells: 3, connector: %s}}
power-leads: {ext: {kind: extension, supply: pack, connector: %s}}
"""


def labels_by_end(keyed: str = "", connector: str = "XT60") -> dict[tuple[str, str], Label]:
    labels = labels_for(wiring_of(TEXT % (keyed, connector, connector)))
    return {(label.code, label.end): label for label in labels}


def test_ends_name_the_socket_they_go_to() -> None:
    found = labels_by_end()
    assert {end for code, end in found if code == "AIL-Y"} == {"to rx 6", "1: AIL-L", "2: AIL-R"}
    assert {end for code, end in found if code == "AIL-R"} == {"to AIL-Y 2", "at servo"}
    assert {end for code, end in found if code == "PWR-X"} == {"to BAT-1", "1: free"}


def test_sides_are_those_of_the_places() -> None:
    sides = {code: label.side for (code, _), label in labels_by_end().items()}
    assert sides == {"AIL-L": "left", "AIL-R": "right", "AIL-Y": "", "BAT-1": "", "PWR-X": ""}


def test_the_arrow_is_where_a_plug_fits_either_way_round() -> None:
    """Keyed plugs have a side tab; unkeyed fit either way round: common practice, no source."""
    assert labels_by_end()["AIL-Y", "to rx 6"].pale_arrow
    assert not labels_by_end(", keyed: yes")["AIL-Y", "to rx 6"].pale_arrow
    assert labels_by_end(", keyed: yes")["AIL-L", "to AIL-Y 1"].pale_arrow
    assert not labels_by_end()["AIL-L", "at servo"].pale_arrow
    assert not labels_by_end()["PWR-X", "to BAT-1"].pale_arrow


def test_bare_bullets_say_which_meets_which() -> None:
    """Two bare bullets fit either way round: label them. Common practice, no source."""
    assert ("PWR-X", "to BAT-1, red to red") in labels_by_end(connector="bullet-4mm")


@pytest.mark.parametrize("stock", ["a4-46x21-4x12", "letter-67x25-3x10", "tape-9", "flag-tape-12"])
def test_the_headline_plan_fits_the_usual_stocks(stock: str) -> None:
    data = labels_pdf(labels_for(WIRINGS["saltmarsh-19"]), find_stock(stock))
    assert data.startswith(b"%PDF-")


def test_a_stock_of_the_plan_is_taken() -> None:
    wiring = wiring_of(
        TEXT
        % ("", "XT60", "XT60")
        + "label-stocks: {mine: {tape-width: 18 mm, printable-height: 14 mm, min-length: 20 mm,"
        " max-length: 200 mm, end-margin: 2 mm}}\n"
    )
    own = stock_from_mapping("mine", wiring.plan.stocks["mine"].dimensions())
    assert labels_pdf(labels_for(wiring), own).startswith(b"%PDF-")


PULLED = """
receivers: {rx: {sockets: 6}}
escs: {esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, supply: pack,
             plug: {into: rx.3, pulled: positive}}}
packs: {pack: {chemistry: lipo, cells: 3}}
"""


def test_a_plug_with_its_red_pin_out_says_so_on_its_own_label_only() -> None:
    found = {(label.code, label.end): label.text for label in labels_for(wiring_of(PULLED))}
    assert found["ESC", "to rx 3"] == "RED OUT"
    assert list(found.values()).count("RED OUT") == 1


@pytest.mark.parametrize("name", WIRINGS)
@pytest.mark.parametrize("stock", ["a4-46x21-4x12", "tape-12"])
def test_the_labels_of_one_lead_are_of_one_size(name: str, stock: str) -> None:
    sizes: dict[str, set[tuple[float, ...]]] = {}
    for page in lay_out(labels_for(WIRINGS[name]), find_stock(stock)):
        for placed in page.labels:
            for face in placed.faces:
                code, *rest = sorted({(not t.bold, t.size_pt) for t in face.texts})
                sizes.setdefault(placed.label.code, set()).add((code[1], *(r[1] for r in rest)))
    assert {code: len(some) for code, some in sizes.items()} == dict.fromkeys(sizes, 1)


def test_the_margin_of_the_sheet_says_what_the_arrow_means() -> None:
    """On every page with an arrow, above the labels and clear of them; never on tape."""
    labels = labels_for(WIRINGS["saltmarsh-19"])
    sheet, tape = find_stock("a4-46x21-4x12"), find_stock("tape-12")
    pages = PdfReader(io.BytesIO(labels_pdf(labels, sheet))).pages
    assert len(pages) > 1
    assert all(LEGEND_ARROW in page.extract_text() for page in pages)
    plain = [Label("A1", "to rx 1")]
    assert (
        LEGEND_ARROW not in PdfReader(io.BytesIO(labels_pdf(plain, sheet))).pages[0].extract_text()
    )
    assert (
        LEGEND_ARROW not in PdfReader(io.BytesIO(labels_pdf(labels, tape))).pages[0].extract_text()
    )
    assert LEGEND_ARROW in PdfReader(io.BytesIO(test_page_pdf(sheet))).pages[0].extract_text()


def test_without_a_stock_the_plans_own_or_a_usual_one_is_taken() -> None:
    assert usual_stock(WIRINGS["saltmarsh-19"]) == "a4-46x21-4x12"
    own = "label-stocks: {mine: {tape-width: 18 mm, printable-height: 14 mm, min-length: 20 mm,"
    assert usual_stock(wiring_of(PULLED + own + " max-length: 90 mm, end-margin: 2 mm}}")) == "mine"
