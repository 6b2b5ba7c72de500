"""What no choice avoids does not bend the rest of the plan, nor is it said to be avoided."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.base.finding import Severity
from harness.documents.proposal import proposal_text
from harness.planner.proposal import Proposal
from harness.planner.propose import propose

WEAK = """
transmitter: {order: AETR}
receivers: {rx: {sockets: 8}}
servos:
  elevator: {class: 17g-digital, moves: elevator}
  rudder: {class: 17g-digital, moves: rudder}
escs:
  esc-left: {rated: 30 A, cells-max: 4, supply: y.1,
             bec: {kind: switching, volts: 5 V, rated: RATED}}
  esc-right: {like: esc-left, supply: y.2}
packs: {p: {chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 30 C}}
power-leads: {y: {kind: parallel, ways: 2, supply: p}}
"""


def proposed(rated: str) -> Proposal:
    answer = propose(plan_of(WEAK.replace("RATED", rated)))
    assert isinstance(answer, Proposal)
    return answer


def test_two_supplies_alike_too_weak_leave_the_first_by_name() -> None:
    """Both BECs are refused alike: the refusal chooses nothing, so the name does."""
    weak, strong = proposed("0.2 A"), proposed("10 A")
    assert {f.severity for f in weak.faults} == {Severity.ERROR}
    assert strong.faults == ()
    for answer in (weak, strong):
        feed = next(c for c in answer.choices if "feeds the rail" in c.what)
        assert '"esc-left"' in feed.what
        assert "speak against" not in feed.why
    assert [c.what for c in weak.choices] == [c.what for c in strong.choices]
    assert not any("left out because of the rules" in note for note in weak.notes)


def test_the_opening_says_that_errors_remain() -> None:
    assert "remain" in proposal_text(proposed("0.2 A")).split("\n\n")[0]
    assert "remain" not in proposal_text(proposed("10 A")).split("\n\n")[0]


@pytest.mark.parametrize("sockets", [3, 4])
def test_sharing_names_the_wish_that_gave_way(sockets: int) -> None:
    text = f"""
receivers: {{rx: {{sockets: {sockets}}}}}
wishes: [{{wish: own-trim, of: flap}}]
servos:
  elevator: {{class: 9g-analogue, moves: elevator}}
  flap-left: {{class: 9g-analogue, moves: flap, shaft: left}}
  flap-right: {{class: 9g-analogue, moves: flap, shaft: left}}
escs:
  e: {{rated: 20 A, cells-max: 3, supply: p, bec: {{kind: switching, volts: 5 V, rated: 5 A}}}}
packs: {{p: {{chemistry: lipo, cells: 2, capacity: 1 Ah, rate: 25 C}}}}
"""
    answer = propose(plan_of(text))
    assert isinstance(answer, Proposal)
    whys = [c.why for c in answer.choices if "share" in c.what]
    assert [why.endswith('so "own trim for each flap" gave way') for why in whys] == (
        [True] if sockets == 3 else []
    )
