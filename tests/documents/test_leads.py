"""Leads as things: every plug and socket with wires sits on one lead, every mate on its two.

The counts are those of the things themselves: a Y-lead has one plug and two sockets.
"""

from __future__ import annotations

from collections import Counter

import pytest
from documents.plans import EVERY_KIND, all_wirings, wiring_of

from harness.parts.kinds import GROUPS
from harness.parts.lead import Lead as ThreePinLead
from harness.wiring.build import Wiring
from harness.wiring.leads import leads_of

WIRINGS = all_wirings()
ON_A_BOX = {"receiver", "autopilot", "stabiliser", "sequencer", "ESC"}
"""Parts whose sockets are on the board, not at the end of a wire."""


@pytest.fixture(params=WIRINGS)
def wiring(request: pytest.FixtureRequest) -> Wiring:
    return WIRINGS[request.param]


def test_the_plan_of_every_kind_has_every_kind() -> None:
    kinds = {type(part) for part in wiring_of(EVERY_KIND).plan.parts.values()}
    assert kinds == set(GROUPS.values())


def test_every_plug_is_on_exactly_one_lead(wiring: Wiring) -> None:
    counted = Counter(port.id for lead in leads_of(wiring) for port in lead.ports)
    plugs = {port.id for port in wiring.ports.values() if port.is_plug}
    assert {port for port in counted if wiring.ports[port].is_plug} == plugs
    assert set(counted.values()) == {1}


def test_every_mate_is_at_its_plug_once_and_at_a_wired_socket_once(wiring: Wiring) -> None:
    ends = [end for lead in leads_of(wiring) for end in lead.ends if end.mate is not None]
    for mate in wiring.mates:
        mine = [end for end in ends if end.mate is mate]
        assert sum(end.port.id == mate.plug.id for end in mine if end.port) == 1
        wired = mate.socket is not None and mate.socket.part.word not in ON_A_BOX
        assert len(mine) == 1 + wired


def test_the_two_ends_of_a_mate_name_each_other(wiring: Wiring) -> None:
    for lead in leads_of(wiring):
        for end in lead.ends:
            if end.mate is None or end.port is None or end.mate.socket is None:
                continue
            other = end.mate.socket if end.port.is_plug else end.mate.plug
            assert end.meets is other.part
            assert end.socket == other.name


@pytest.mark.parametrize(
    ("lead", "near", "far"),
    [
        ("{kind: extension}", 1, 1),
        ("{kind: y}", 1, 2),
        ("{kind: reverser}", 1, 1),
        ("{kind: n-way, ways: 5}", 1, 5),
    ],
)
def test_a_lead_has_the_ends_of_its_kind(lead: str, near: int, far: int) -> None:
    (found,) = leads_of(wiring_of(f"leads:\n  x: {lead}\n"))
    assert isinstance(found.part, ThreePinLead)
    assert (len(found.near), len(found.far)) == (near, far)
    assert all(end.mate is None for end in found.ends)


JOINTS = """
places: {{fuselage: {{}}, wing: {{joins: fuselage}}, tip: {{joins: wing}}}}
receivers: {{rx: {{sockets: 2, place: fuselage}}}}
servos: {{s: {{place: {place}, plug: {plug}}}}}
leads: {{e: {{kind: extension, plug: rx.1{lies}}}}}
"""


@pytest.mark.parametrize(
    ("place", "plug", "lies", "servo", "extension"),
    [
        ("wing", "rx.2", "", ["wing"], []),
        ("tip", "rx.2", "", ["tip", "wing"], []),
        ("fuselage", "rx.2", "", [], []),
        ("wing", "e.1", ", place: fuselage", ["wing"], []),
        ("wing", "e.1", ", place: wing", [], ["wing"]),
        ("tip", "e.1", ", place: wing", ["tip"], ["wing"]),
        ("wing", "e.1", "", [], ["wing"]),
    ],
)
def test_a_joint_is_crossed_by_the_lead_that_passes_it(
    place: str, plug: str, lies: str, servo: list[str], extension: list[str]
) -> None:
    wiring = wiring_of(JOINTS.format(place=place, plug=plug, lies=lies))
    crossed = {lead.part.id: list(lead.joints(wiring)) for lead in leads_of(wiring)}
    assert crossed == {"s": servo, "e": extension}


@pytest.mark.parametrize(
    ("servos", "fault"),
    [
        ("{a: {plug: rx.9}}", "no such socket"),
        ("{a: {plug: rx.1}, z: {plug: rx.1}}", "socket taken"),
        ("{a: {plug: pack}}", "does not fit"),
    ],
)
def test_a_join_that_cannot_be_made_is_said(servos: str, fault: str) -> None:
    text = "receivers: {rx: {sockets: 2}}\npacks: {pack: {chemistry: lipo, cells: 3}}\n"
    wiring = wiring_of(f"{text}servos: {servos}\n")
    last = [lead for lead in leads_of(wiring) if lead.kind == "servo lead"][-1]
    assert last.near[0].fault == fault
