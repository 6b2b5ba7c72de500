"""The lead list's contents, against the plan, IEC 60757 and hand sums."""

from __future__ import annotations

import pytest
from documents.plans import all_wirings, wiring_of

from harness.base.colours import INSULATION, luminance
from harness.documents.leads import COLUMNS, lead_list
from harness.paper.records import CsvRecord
from harness.rules.run import check
from harness.wiring.leads import meeting_place

IEC_60757 = {
    "BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR", "GNYE",
}  # fmt: skip
"""The letter codes of IEC 60757."""
WIRINGS = all_wirings()


def row_of(text: str, label: str) -> CsvRecord:
    """Return one row of a plan's lead list."""
    return next(row for row in lead_list(wiring_of(text)).rows if row["label"] == label)


@pytest.mark.parametrize("name", WIRINGS)
def test_one_row_a_lead_and_every_mate_in_its_rows(name: str) -> None:
    wiring = WIRINGS[name]
    rows = lead_list(wiring).rows
    assert all(tuple(row) == COLUMNS or set(row) == set(COLUMNS) for row in rows)
    met = [
        (row["lead"], part, socket)
        for row in rows
        for end in "AB"
        for part, socket in zip(
            row[f"{end} part"].split("; "), row[f"{end} socket"].split("; "), strict=False
        )
    ]
    for mate in wiring.mates:
        if mate.socket is not None:
            want = (mate.plug.part.id, mate.socket.part.id, mate.socket.name)
            assert want in met


@pytest.mark.parametrize("name", WIRINGS)
def test_colours_are_codes_of_the_standard(name: str) -> None:
    for row in lead_list(WIRINGS[name]).rows:
        items = [item for side in row["colours"].split(" / ") for item in side.split("+") if item]
        assert set(items) <= IEC_60757
        if items and " / " not in row["colours"]:
            assert len(items) == int(row["wires"])


@pytest.mark.parametrize("name", WIRINGS)
def test_a_rating_always_has_an_origin(name: str) -> None:
    for row in lead_list(WIRINGS[name]).rows:
        said = row["rating from"].replace("not known", "").strip("; ")
        assert bool(row["rating"] or row["rating short"]) == bool(said)


def test_a_report_and_its_wiring_give_the_same_list() -> None:
    wiring = WIRINGS["saltmarsh-19"]
    assert lead_list(check(wiring.plan, wiring)) == lead_list(wiring)


RX = "receivers: {rx: {sockets: 4%s}}\n"


@pytest.mark.parametrize(
    ("colours", "codes", "pale"),
    [
        ("white-red-black", "WH+RD+BK", "WH"),  # Arduino and PX4 documentation
        ("orange-red-brown", "OG+RD+BN", "OG"),  # common practice, no source
        ("yellow-red-black", "YE+RD+BK", "YE"),
        ("blue-red-black", "BU+RD+BK", "BU"),
    ],
)
def test_colours_and_the_pale_wire(colours: str, codes: str, pale: str) -> None:
    text = RX % "" + f"servos: {{rudder: {{plug: rx.1, colours: {colours}}}}}\n"
    row = row_of(text, "RUD")
    assert row["colours"] == codes
    assert row["colours from"] == "plan"
    assert row["arrow"].startswith(f"{pale} (")
    assert row["colour words"] == colours.replace("-", ", ")
    assert max(codes.split("+"), key=lambda code: luminance(INSULATION[code])) == pale


def test_the_pin_order_of_the_plug_is_the_order_of_the_colours() -> None:
    pins = "[negative, positive, signal]"
    text = RX % "" + f"servos: {{rudder: {{plug: rx.1, pins: {pins}}}}}\n"
    assert row_of(text, "RUD")["colours"] == "BK+RD+WH"


def test_a_keyed_socket_needs_no_arrow() -> None:
    row = row_of(RX % ", keyed: yes" + "servos: {rudder: {plug: rx.1}}\n", "RUD")
    assert row["arrow"] == ""
    assert row["colours from"] == "usual"


SUMS = """
places: {fuselage: {}, wing: {joins: fuselage, side: left}}
receivers: {rx: {sockets: 4, place: fuselage}}
servos:
  flap-left:
    {moves: flap, stall: 2 A, place: wing, plug: flap-y.1, wire: 26 AWG, length: 250 mm}
  flap-right: {like: flap-left, place: fuselage, plug: flap-y.2}
leads: {flap-y: {kind: y, plug: {into: rx.1, pulled: signal}, wire: 22 AWG, place: fuselage}}
regulators: {radio: {kind: switching, volts: 6 V, plug: rx.batt, wire: 22 AWG, length: 300 mm}}
"""


def amperes(row: dict[str, str]) -> tuple[float, float]:
    """What flows for good and for seconds."""
    return float(row["load"].removesuffix(" A")), float(row["load short"].removesuffix(" A"))


def test_a_row_by_hand() -> None:
    """By hand, see `test_a_y_by_hand`; 26 AWG bears 1.5 and 3.5 A: common practice."""
    row = row_of(SUMS, "FLAP-L")
    assert (row["A part"], row["A socket"], row["A place"]) == ("flap-y", "1", "fuselage")
    assert (row["B end"], row["B part"], row["B place"]) == ("fixed", "flap-left", "wing")
    assert amperes(row) == pytest.approx((0.578, 1.776), rel=0.01)
    assert (row["rating"], row["rating short"]) == ("1.5 A", "3.5 A")
    assert (row["gauge"], row["gauge from"], row["length"]) == ("26 AWG", "plan", "250 mm")
    assert (row["crosses joint"], row["side"]) == ("wing", "left")
    assert row["A connector"] == "servo-3pin plug"


def test_a_y_by_hand() -> None:
    """Two servos add up; a 3-pin plug bears 3 and 5 A: common practice, no source.

    At 30 % of its stall a servo is 6 V / 0.6 A = 10 ohm, stalled 3 ohm; its lead, two contacts and
    its branch of the Y (300 mm) add 0.13 ohm. Two of them, the stem 0.03, the supply lead 0.062 and
    the output 0.03 ohm: 6 V / 5.187 ohm = 1.155 A and 6 V / 1.687 ohm = 3.55 A. The catalogue's
    contact is 15 mohm, copper by ASTM B258.
    """
    row = row_of(SUMS, "FLAP-Y")
    assert row["B part"] == "flap-left; flap-right"
    assert row["B end"] == "socket 1; socket 2"
    assert amperes(row) == pytest.approx((1.155, 3.55), rel=0.01)
    assert (row["rating"], row["rating short"]) == ("3 A", "5 A")
    assert row["A pulled"] == "signal"
    assert row["A out"] == "WHITE OUT"


def test_what_is_not_known_is_said_not_left_out() -> None:
    text = SUMS.replace("stall: 2 A, ", "")
    assert row_of(text, "FLAP-Y")["load not known"] == "flap-left; flap-right"


def test_facts_and_faults_are_noted() -> None:
    text = SUMS + "as-found: [{end: flap-y, fact: dead}]\n"
    assert "flap-y was dead" in row_of(text, "FLAP-Y")["notes"]
    text = SUMS + "as-found: [{end: flap-y.1, wire: negative, fact: open, mended: crimped}]\n"
    assert "flap-y.1 was open, its negative wire, crimped" in row_of(text, "FLAP-Y")["notes"]
    faulty = RX % "" + "servos: {rudder: {plug: rx.9, about: long arm}}\n"
    assert row_of(faulty, "RUD")["notes"] == "plug: no such socket; long arm"


def test_the_outlets_of_a_shared_lead_do_not_limit_its_trunk() -> None:
    """An XT90 bears 60 A, an XT60 40 A (common practice): the trunk has the XT90."""
    text = """
packs: {p: {chemistry: lipo, cells: 4, connector: XT90}}
power-leads: {y: {kind: parallel, ways: 2, supply: p, connector: XT60, connector-in: XT90}}
"""
    assert row_of(text, "PWR-Y")["rating"] == "60 A"


def test_a_join_says_where_it_is_made() -> None:
    """`in` of a join: the plug meets its socket there, wherever the socket's part sits."""
    text = """\
plan: 1
aircraft: Test
places: {hull: {}, tail: {in: hull}}
receivers: {rx: {sockets: 4, place: hull}}
leads: {long: {kind: extension, plug: rx.1, place: hull}}
servos: {rudder: {class: 9g-analogue, place: tail, plug: {into: long.1, in: tail}}}
"""
    for plan, place in ((text, "tail"), (text.replace(", in: tail", ""), "hull")):
        (mate,) = (m for m in wiring_of(plan).mates if m.plug.part.id == "rudder")
        assert meeting_place(wiring_of(plan), mate) == place
        rows = {row["lead"]: row for row in lead_list(wiring_of(plan)).rows}
        assert rows["long"]["B place"] == place, rows["long"]
        assert place in (rows["rudder"]["A place"], rows["rudder"]["B place"])
