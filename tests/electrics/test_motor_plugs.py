"""What flows in a motor's wires, and what their connectors lose: by hand.

At duty d of an ideal chopper the pack gives d times the motor's current (energy in = energy out);
at full throttle they are one. Two of three contacts pairs carry at a time (six-step commutation,
textbook). 0.7 mohm and 0.5 mohm a contact, 15 A and 30 A: catalogue, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from support import plan_of, report_of, rules_of

from harness.base.finding import Severity
from harness.documents.figures.load import solved_of
from harness.wiring.build import build

PLAN = """
receivers: {{rx: {{sockets: 4}}}}
escs:
  esc: {{rated: 90 A, bec: none, plug: rx.3, supply: main, connector: XT90, wire: 10 AWG{esc}}}
motors:
  m: {{full-throttle: {amps} A, full-throttle-volts: 12.6 V, plug: esc, length: 100 mm{motor}}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 60 C, connector: XT90}}
cases: {{half: {{like: full-throttle, throttle: 50 %}}}}
"""


def text(esc: str, motor: str, amps: float = 20, more: str = "") -> str:
    said = f", motor-connector: {esc}" if esc else ""
    return PLAN.format(esc=said, motor=(f", connector: {motor}" if motor else "") + more, amps=amps)


@pytest.mark.parametrize(
    ("esc", "motor", "ohms"),
    [("three-pole-2mm", "three-pole-2mm", 0.7e-3), ("", "three-pole-3.5mm", 0.5e-3)],
)
def test_current_and_drop_of_a_motors_plug(esc: str, motor: str, ohms: float) -> None:
    solved = solved_of(build(plan_of(text(esc, motor))))
    (row,) = [r for r in solved.rows if (r.kind, r.part) == ("plug", "m")]
    cases = [case.name for case in solved.outcome.cases]
    full, half = cases.index("full-throttle"), cases.index("half")
    pack = np.abs(solved.outcome.drawn("esc"))
    assert row.amps[full] == pytest.approx(pack[full], rel=1e-9)
    # half the throttle: the pack gives half of it, and 4 % of switching half the time (catalogue)
    assert row.amps[half] == pytest.approx(pack[half] / (0.5 + 0.04 * 0.5), rel=1e-6)
    assert row.drop is not None and row.loss is not None
    assert row.drop[full] == pytest.approx(2 * ohms * pack[full], rel=1e-6)
    assert row.loss[full] == pytest.approx(2 * ohms * pack[full] ** 2, rel=1e-6)


@pytest.mark.parametrize(
    ("plug", "amps", "found"),
    [
        ("three-pole-2mm", 12, None),
        ("three-pole-2mm", 20, Severity.WARNING),
        ("three-pole-2mm", 40, Severity.ERROR),
        ("three-pole-3.5mm", 26, None),
        ("bullet-4mm", 40, None),
    ],
)
def test_a_motors_plug_is_held_to_its_class(plug: str, amps: float, found: Severity | None) -> None:
    report = report_of(text(plug, plug, amps))
    told = [f.severity for f in report.findings if f.rule == "plug-load" and "m" in f.parts]
    assert told == ([found] if found else [])


def test_two_motors_share_what_the_esc_gives() -> None:
    other = "  n: {full-throttle: 10 A, full-throttle-volts: 12.6 V, plug: esc}\npacks:"
    wiring = build(plan_of(text("", "bullet-4mm").replace("packs:", other)))
    out = solved_of(wiring).outcome
    assert out.through_motor("m") == pytest.approx(2 * out.through_motor("n"), rel=1e-9)


@pytest.mark.parametrize(
    ("esc", "motor", "fires"),
    [
        ("bullet-4mm", "bullet-3.5mm", True),
        ("three-pole-2mm", "bullet-2mm", True),
        ("bullet-4mm", "bullet-4mm", False),
        ("", "bullet-4mm", False),
        ("", "", False),
    ],
)
def test_ends_that_do_not_go_together(esc: str, motor: str, fires: bool) -> None:
    report = report_of(text(esc, motor, 10))
    assert ("connectors-differ" in [f.rule for f in report.findings]) is fires
    asked = [(u.part, u.missing) for u in report.unknown if u.rule == "connectors-differ"]
    one = [("esc", "the class of its motor connector (motor-connector)")]
    assert asked == (one if motor and not esc else [])


def test_a_wire_that_does_not_go_into_its_motor_plug() -> None:
    thick, thin = (text("", "three-pole-2mm", 10, f", wire: {n} AWG") for n in (14, 16))
    assert "wire-too-thick" in rules_of(thick)
    assert "wire-too-thick" not in rules_of(thin)
