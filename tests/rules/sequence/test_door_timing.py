"""Door-open time + 0.5 s before the gear; slowest leg + 30 % before doors close.

Common practice, no source: the expected times below are worked out by hand from those two.
"""

from __future__ import annotations

import pytest
from control_support import found, missing, numbers

RULE = "door-timing"
PLAN = """
servos: {{door: {{moves: gear-door, plug: box.doors}}}}
retracts:
  fast: {{kind: self-contained, travel: 3 s, plug: y.1}}
  slow: {{kind: self-contained, {slow}, plug: y.2}}
leads: {{y: {{kind: y, plug: box.legs}}}}
sequencers:
  box:
    outlets: [doors, legs]
    plug: rx.5
    power-up: holds
    steps:
      down: [{down}]
      up: [{up}]
"""
GOOD = (
    "{outlet: doors, start: 0 s, end: 1 s, to: open},"
    " {outlet: legs, start: 1.5 s, end: 9 s, to: down},"
    " {outlet: doors, start: 9 s, end: 10 s, to: closed}"
)


def plan(down: str = GOOD, up: str = GOOD, slow: str = "travel: 5 s") -> str:
    return PLAN.format(down=down, up=up, slow=slow)


@pytest.mark.parametrize(
    ("close", "faults"),
    # the slow leg: 1.5 + 5 * 1.3 = 8.0 s; the fast one would allow 1.5 + 3 * 1.3 = 5.4 s
    [("8 s", 0), ("9 s", 0), ("7.9 s", 1), ("5.4 s", 1), ("6.5 s", 1)],
)
@pytest.mark.parametrize("way", ["down", "up"])
def test_doors_wait_for_the_slowest_leg(way: str, close: str, faults: int) -> None:
    text = plan(**{way: GOOD.replace("start: 9 s", f"start: {close}")})
    findings = found(RULE, text)
    assert len(findings) == faults
    for finding in findings:
        assert finding.message.startswith(way)
        assert "until 8 s" in finding.message
        assert numbers(finding)["travel of slow"] == "5 s (plan line 9)"
        assert numbers(finding)["added for a low battery"].startswith("30 %")


@pytest.mark.parametrize(("start", "faults"), [("1.5 s", 0), ("1.49 s", 1), ("0 s", 1)])
def test_legs_wait_for_the_doors(start: str, faults: int) -> None:
    text = plan(down=GOOD.replace("start: 1.5 s", f"start: {start}"))
    findings = found(RULE, text)
    assert len(findings) == faults
    assert all("not before 1.5 s" in finding.message for finding in findings)


@pytest.mark.parametrize(
    ("slow", "faults"),
    # of its class: large 8 s (common practice): 1.5 + 8 * 1.3 = 11.9 s; small 3 s: 5.4 s
    [("class: large", 2), ("class: small", 0)],
)
def test_a_class_gives_the_travel(slow: str, faults: int) -> None:
    assert len(found(RULE, plan(slow=slow))) == faults


def test_legs_run_into_doors_nobody_opens() -> None:
    legs = "{outlet: legs, start: 1.5 s, end: 9 s, to: up}"
    (finding,) = found(RULE, plan(up=legs))
    assert "no step opens them" in finding.message
    opens = GOOD.rpartition(", {")[0]
    assert found(RULE, plan(down=opens, up=legs)) == []


def test_each_bay_has_its_own_legs() -> None:
    """The nose leg runs late; the wing doors need not wait for it."""
    text = (
        "places: {nose: {}, wing: {}}\n"
        "servos: {door: {moves: gear-door, place: wing, plug: box.doors}}\n"
        "retracts:\n"
        "  leg: {kind: self-contained, travel: 3 s, place: %s, plug: box.legs}\n"
        "  late: {kind: self-contained, travel: 9 s, place: %s, plug: box.late}\n"
        "sequencers: {box: {outlets: [doors, legs, late], plug: rx.5, power-up: holds,"
        " steps: {down: [%s, {outlet: late, start: 9 s, end: 21 s}]}}}\n"
    )
    assert found(RULE, text % ("wing", "nose", GOOD)) == []
    assert len(found(RULE, text % ("wing", "wing", GOOD))) == 1


def test_a_leg_beside_the_box_starts_at_once() -> None:
    text = plan().replace("plug: y.1", "plug: x.2").replace("plug: rx.5", "plug: x.1")
    text = text.replace("leads: {", "leads: {x: {kind: y, plug: rx.5}, ")
    (finding,) = found(RULE, text)
    assert "start at 0 s" in finding.message
    assert finding.parts[:2] == ("box", "fast")


def test_doors_on_the_gear_channel_without_a_box() -> None:
    text = (
        "leads: {y: {kind: y, plug: rx.5}}\nservos: {door: {moves: gear-door, plug: y.1}}\n"
        "retracts: {leg: {kind: self-contained, travel: 3 s, plug: y.2}}"
    )
    (finding,) = found(RULE, text)
    assert finding.parts == ("door",)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        (plan(slow="length: 200 mm"), "slow"),
        (plan(down=GOOD.replace(", to: open", "")), "box"),
        (plan(down="", up=""), "box"),
        (
            "servos: {door: {moves: gear-door, plug: rx.6}}\n"
            "retracts: {leg: {kind: self-contained, travel: 3 s, plug: rx.5}}",
            "door",
        ),
    ],
)
def test_what_the_plan_does_not_say_is_not_known(text: str, part: str) -> None:
    assert found(RULE, text) == []
    assert {u.part for u in missing(RULE, text)} == {part}


@pytest.mark.parametrize(
    "text",
    [
        plan(),
        "retracts: {leg: {kind: self-contained, plug: box.1}}\n"
        "sequencers: {box: {outlets: 1, plug: rx.5, power-up: holds}}",
        # bomb doors: no legs at all
        "servos: {door: {moves: gear-door, plug: rx.5}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []
    assert missing(RULE, text) == []
