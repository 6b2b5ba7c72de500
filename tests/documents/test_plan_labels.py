"""Labels made from a plan: both ends of each lead, with where it goes."""

from __future__ import annotations

from itertools import groupby

import pytest
from documents.plans import all_wirings, wiring_of

from harness.documents.labels import Label, find_stock, labels_pdf, stock_from_mapping
from harness.documents.plan_labels import labels_for, reached
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
