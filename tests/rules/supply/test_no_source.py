"""No supply, no function: the thing itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import report_of

from harness.base.finding import Severity

MAIN = "packs:\n  main: {chemistry: lipo, cells: 3}\n"
PLAN = """
receivers:
  rx: {sockets: 6}
servos:
  rudder: {class: 9g-analogue, plug: %s}
escs:
  esc: {bec: %s, plug: %s, supply: %s}
"""
BEC = "{kind: switching, volts: 5 V}"
RED = "{into: rx.%s, pulled: positive}"


def judged(text: str) -> tuple[list[tuple[str, int]], list[tuple[str, str]]]:
    report = report_of(text)
    return (
        [(f.parts[0], f.span.line) for f in report.findings if f.rule == "no-source"],
        [(u.part, u.missing) for u in report.unknown if u.rule == "no-source"],
    )


@pytest.mark.parametrize(
    ("text", "part", "line"),
    [
        (PLAN % ("rx.4", "none", "rx.3", "main") + MAIN, "rx", 5),
        (PLAN % ("rx.4", BEC, RED % 3, "main") + MAIN, "esc", 9),
        (PLAN % (RED % 4, BEC, "rx.3", "main") + MAIN, "rudder", 7),
        (
            PLAN % ("rx.4", BEC, "rx.3", "long.1")
            + MAIN
            + "power-leads:\n  long: {kind: extension}\n",
            "long",
            13,
        ),
    ],
)
def test_a_dead_part_is_told_once(text: str, part: str, line: int) -> None:
    assert judged(text)[0] == [(part, line)]


@pytest.mark.parametrize(
    "text",
    [
        PLAN % ("rx.4", BEC, "rx.3", "main") + MAIN,
        PLAN % ("rx.4", "none", "rx.3", "main")
        + MAIN
        + "  radio: {chemistry: nimh, cells: 4, plug: guard.1}\n"
        "diodes:\n  guard: {kind: schottky, plug: rx.batt}\n",
    ],
)
def test_fed_straight_or_by_a_diode(text: str) -> None:
    assert judged(text) == ([], [])


def test_a_diode_does_not_feed_backwards() -> None:
    text = """
receivers:
  rx: {sockets: 4}
  second: {sockets: 4}
packs:
  radio: {chemistry: nimh, cells: 4, plug: rx.batt}
diodes:
  guard: {kind: schottky, plug: rx.1}
servos:
  rudder: {class: 9g-analogue, plug: guard.1}
"""
    told = [f for f in report_of(text).findings if "rudder" in f.parts and f.severity > 2]
    assert [f.rule for f in told] == ["diode-backwards"]


def test_what_nobody_said_is_unknown() -> None:
    plan = PLAN.replace("bec: %s, ", "")
    assert judged(plan % ("rx.4", "rx.3", "main") + MAIN)[1] == [
        ("esc", "whether it has a BEC (bec)")
    ]
    bare = "receivers:\n  rx: {sockets: 4}\n"
    assert judged(bare) == ([], [("rx", "what feeds it")])


def test_a_switch_found_dead_is_named() -> None:
    text = """
receivers: {rx: {sockets: 4}}
servos: {e: {plug: rx.2}}
switches: {sw: {plug: rx.batt}}
packs: {radio: {chemistry: nimh, cells: 4, plug: sw.1}}
as-found: [{end: sw, fact: dead}]
"""
    (only,) = [f for f in report_of(text).findings if f.rule == "no-source"]
    assert only.message == (
        'switch "sw" was found dead, so receiver "rx" and servo "e" get no supply'
    )
    assert only.help.startswith('replace or mend "sw"')
    assert only.span.line == 8


def test_the_pin_of_its_own_supply_is_blamed_before_one_that_parts_two() -> None:
    """Put back, the red pin of the input lead would join the receiver's supply to the box's own."""
    text = (Path(__file__).parents[3] / "examples" / "saltmarsh-19.yaml").read_text()
    assert text.count("supply: gear-supply") == 1
    pulled = "supply: {into: gear-supply, pulled: positive}"
    broken = text.replace("supply: gear-supply", pulled)
    (told,) = [f for f in report_of(broken).findings if f.rule == "no-source"]
    assert told.message.startswith("the red pin of gear-box into gear-supply.out is pulled")
    assert told.help == "put the red pin back"
    assert told.severity > Severity.WARNING


@pytest.mark.parametrize(
    ("plug", "told"),
    [
        ("rx.batt-9", ["no-such-socket"]),
        ("rx.1", []),
        ("{into: rx.1, pulled: positive}", ["no-source"]),
    ],
)
def test_a_supply_whose_socket_is_not_there_is_told_first(plug: str, told: list[str]) -> None:
    """Whether the rail is fed is seen when its plug has a socket: one fault, one report."""
    text = f"""
receivers: {{rx: {{sockets: 6}}}}
servos: {{rudder: {{class: 9g-analogue, plug: rx.4}}}}
packs: {{radio: {{chemistry: nimh, cells: 4, plug: {plug}}}}}
"""
    errors = [f.rule for f in report_of(text).findings if f.severity >= Severity.ERROR]
    assert errors == told


def test_a_device_without_a_socket_hides_no_dead_rail() -> None:
    """A servo's wrong socket says nothing of what feeds the receiver."""
    text = PLAN % ("rx.9", "none", "rx.3", "main") + MAIN
    assert judged(text)[0] == [("rx", 5)]
