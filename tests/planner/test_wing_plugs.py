"""Leads of wing plugs are placed; what is left open is said; wrong times move nobody."""

from __future__ import annotations

from support import plan_of

from harness.documents.proposal import proposal_text
from harness.plan.load import parse_plan
from harness.planner.propose import Proposal, propose

WING = """
transmitter: {order: AETR, channels: 12}
channels: {1: aileron-left, 5: aileron-right}
receivers: {rx: {sockets: 8, supply-sockets: 1, place: fuselage}}
packs: {p: {chemistry: nimh, cells: 4, plug: rx.batt, place: fuselage}}
places: {fuselage: {}, wing-left: {joins: fuselage, side: left}}
wing-plugs:
  root: {contacts: 6, place: wing-left, wire: 22 AWG, circuits: {aileron: {signal: 1, positive: 3, negative: 5},
         lamp: {signal: 2, positive: 4, negative: 6}}%s}
servos: {ail: {moves: aileron-left, place: wing-left%s}}
"""  # noqa: E501

TIMES = """
transmitter: {order: AETR, channels: 12}
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 8, supply-sockets: 1}}
packs: {p: {chemistry: lipo, cells: 2, plug: rx.batt}}
sequencers:
  box:
    plug: rx.5
    outlets: [door-left, door-right, leg-left, leg-right]
    power-up: holds
    steps:
      down: [{outlet: door-left, start: 0 s, end: 1 s, to: open}, {outlet: door-right, start: 0 s, end: 1 s, to: open},
             {outlet: leg-left, start: 2 s, end: 6 s, to: down}, {outlet: leg-right, start: 2 s, end: 6 s, to: down}]
      up: [{outlet: leg-left, start: 0 s, end: 4 s, to: up}, {outlet: leg-right, start: 0 s, end: 4 s, to: up},
           {outlet: door-left, start: %s s, end: 9 s, to: closed}, {outlet: door-right, start: %s s, end: 9 s, to: closed}]
servos: {door-left: {moves: gear-door, volts-max: 8.4 V}, door-right: {moves: gear-door, volts-max: 8.4 V}}
retracts:
  leg-left: {kind: self-contained, travel: 4 s, volts-max: 8.4 V}
  leg-right: {kind: self-contained, travel: 4 s, volts-max: 8.4 V}
"""  # noqa: E501


def _answer(text: str) -> Proposal:
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    return answer


def test_the_lead_of_a_circuit_in_use_is_plugged_in() -> None:
    answer = _answer(WING % ("", ", plug: root.aileron"))
    after = parse_plan(answer.report.plan.source)
    assert after.parts["root"].plugs["aileron"].into == "rx.1"
    assert "lamp" not in after.parts["root"].plugs
    assert proposal_text(answer).startswith("A plan for every open plug")


def test_the_leads_that_it_has_stay() -> None:
    answer = _answer(
        WING.replace("lamp: {s", "b: {s") % (", plugs: {b: {into: rx.7, pulled: positive}}",
                                             ", plug: root.aileron")
    )  # fmt: skip
    joins = parse_plan(answer.report.plan.source).parts["root"].plugs
    assert (joins["b"].into, joins["b"].pulled) == ("rx.7", ("positive",))
    assert joins["aileron"].into == "rx.1"


def test_a_servo_that_goes_past_an_empty_wing_plug_is_told() -> None:
    (told,) = [note for note in _answer(WING % ("", "")).notes if "would go past" in note]
    assert '"ail" would go past wing plug "root"' in told
    assert not [n for n in _answer(WING % ("", ", plug: root.aileron")).notes if "go past" in n]


def test_an_empty_lead_is_not_called_placed() -> None:
    answer = _answer(WING % ("", "") + "leads: {spare-y: {kind: y}}\n")
    text = proposal_text(answer)
    assert text.startswith('A plan for all open plugs but "spare-y"')
    assert '"spare-y": nothing hangs on it' in text


def test_wrong_times_are_told_and_names_kept() -> None:
    answer = _answer(TIMES % (3, 3))
    parts = answer.report.plan.parts
    assert {fault.rule for fault in answer.faults} == {"door-timing"}
    for name in ("door-left", "door-right", "leg-left", "leg-right"):
        assert parts[name].plug.into == f"box.{name}"
    assert answer.proven
    assert not _answer(TIMES % (8, 8)).faults
