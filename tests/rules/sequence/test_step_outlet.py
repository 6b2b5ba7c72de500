from __future__ import annotations

import pytest
from control_support import found
from support import report_of

RULE = "step-outlet"
BOX = """
retracts: {leg: {kind: self-contained, plug: box.legs}}
servos: {door: {moves: gear-door, plug: box.doors}}
sequencers:
  box:
    outlets: [legs, doors, spare]
    plug: rx.5
    power-up: holds
    steps:
      down: [%s]
      up: [%s]
"""


def step(outlet: str, to: str = "open") -> str:
    return f"{{outlet: {outlet}, start: 0 s, end: 1 s, to: {to}}}"


BOTH = f"{step('legs')}, {step('doors')}"


@pytest.mark.parametrize(
    ("down", "up", "words"),
    [
        (f"{BOTH}, {step('door')}", BOTH, 'moves "door", but sequencer "box" has no such outlet'),
        # one misspelt step is one report, although the outlet it means then stands still
        (f"{step('legs')}, {step('door')}", step("legs"), "no such outlet"),
        (step("legs"), step("legs"), 'outlet "doors" of sequencer "box" never moves'),
        (BOTH, step("doors"), 'outlet "legs" of sequencer "box" moves down and never back'),
    ],
)
def test_steps_and_outlets_must_match(down: str, up: str, words: str) -> None:
    (finding,) = found(RULE, BOX % (down, up))
    assert words in finding.message


@pytest.mark.parametrize(
    ("down", "up"),
    # doors that open on the way down and stay open are the timing rule's
    [(BOTH, BOTH), (BOTH, step("legs")), ("", "")],
)
def test_stays_silent(down: str, up: str) -> None:
    assert found(RULE, BOX % (down, up)) == []


def test_a_step_that_ends_before_it_starts() -> None:
    """Plain time."""
    text = """
receivers: {rx: {sockets: 4}}
sequencers:
  box: {plug: rx.1, outlets: [legs], power-up: holds, steps: {
    down: [{outlet: legs, start: 3 s, end: 1 s}], up: [{outlet: legs, start: 1 s, end: 3 s}]}}
"""
    (only,) = [f for f in report_of(text).findings if f.rule == "step-outlet"]
    assert "from 3 s to 1 s: it ends before it starts" in only.message
