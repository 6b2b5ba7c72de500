from __future__ import annotations

import pytest
from control_support import found, whole
from support import report_of

from harness.bench.build import protocol_of
from harness.electrics.gear.timeline import timeline

RULE = "step-outlet"
BOX = """
retracts: {leg: {kind: self-contained, travel: 4 s, plug: box.legs}}
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


def step(outlet: str, to: str = "") -> str:
    to = to or ("down" if outlet == "legs" else "open")
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


DOWN = [step("doors"), "{outlet: legs, start: 1.5 s, end: 9 s, to: down}"]
UP = ["{outlet: legs, start: 0 s, end: 8 s, to: up}",
      "{outlet: doors, start: 8 s, end: 9 s, to: closed}"]  # fmt: skip
SOUND = BOX % (", ".join(DOWN), ", ".join(UP))
LEG, DOOR = "plug: box.legs", "plug: box.doors"


def test_legs_and_doors_exchanged_are_told_once_and_by_no_other_rule() -> None:
    """The time line runs the same plan: the leg goes down under a closed door."""
    text = SOUND.replace(LEG, "plug: XX").replace(DOOR, LEG).replace("plug: XX", DOOR)
    (finding,) = found(RULE, text)
    assert finding.parts == ("leg", "box", "door")
    assert (
        'leg "leg" hangs on outlet "doors" of sequencer "box", which opens and' in finding.message
    )
    assert 'put retract leg "leg" into box.legs and servo "door" into box.doors' in finding.help
    timing = [u for u in report_of(whole(text)).unknown if u.rule == "door-timing"]
    assert [f for f in report_of(whole(text)).findings if f.rule == "door-timing"] + timing == []
    clashes = timeline(report_of(whole(text)).wiring, "gear", only=("down",)).run("down").clashes
    assert [clash.kind for clash in clashes] == ["door-not-open"]


@pytest.mark.parametrize("name", ["door-timing", RULE])
def test_a_door_that_goes_down_to_open_is_judged_as_the_time_line_does(name: str) -> None:
    text = SOUND.replace("to: open", "to: down").replace("closed", "up")
    report = report_of(whole(text))
    assert [f for f in report.findings if f.rule == name] == []
    assert [u for u in report.unknown if u.rule == name] == []
    early = text.replace("start: 1.5 s", "start: 0.5 s")
    assert len(found("door-timing", early)) == 1
    assert timeline(report_of(whole(early)).wiring, "gear", only=("down",)).run("down").clashes


def test_a_leg_alone_on_a_door_outlet() -> None:
    text = SOUND.replace(LEG, DOOR).replace(
        "servos: {door: {moves: gear-door, plug: box.doors}}", ""
    )
    (finding,) = found(RULE, text)
    assert finding.help.startswith("plug it into an outlet that goes up and down")


def test_the_protocol_expects_nothing_of_legs_on_outlets_for_doors() -> None:
    swapped = SOUND.replace(LEG, "plug: XX").replace(DOOR, LEG).replace("plug: XX", DOOR)
    for text, timed in ((SOUND, True), (swapped, False)):
        protocol = protocol_of(report_of(whole(text)).wiring)
        assert any(name.startswith("gear-time.") for name in protocol.tests) == timed
        assert any("legs hang on outlets for doors" in u for u in protocol.unknown) != timed
