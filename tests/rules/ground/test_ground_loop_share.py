"""Ground loops of speed controllers: motor current in the signal grounds.

Published: of each 7 A, 6 A return by 14 AWG and 1 A by a 22 AWG signal ground of the same length
(ArduPilot, ESC grounding page). The worked figures 1.0, 2.4 and 6 A at 60 A are common practice, no
source; they take 20 milliohm for a 3-pin contact and 0.5 milliohm for a battery plug. The solution
takes the catalogue's 15 milliohm: it is laid against the trade's formula with that figure.
"""

from __future__ import annotations

import pytest
from electrics.heating import wire_ohms
from support import plan_of, report_of

from harness.base.finding import Finding, Severity
from harness.base.units import parse_wire
from harness.base.wire import resistance
from harness.electrics.flows import flows_of
from harness.wiring.build import build

PLAN = """
packs:
  main: {{chemistry: lipo, cells: 4, capacity: 9 Ah, connector: {plug}}}
power-leads:
  split: {{kind: parallel, ways: 2, connector: {plug}, supply: main, wire: 8 AWG, length: 0 mm}}
receivers:
  rx: {{sockets: 4}}
escs:
  left: {{bec: none, connector: {plug}, wire: {wire}, length: {length}, lead-wire: 22 AWG,
    lead-length: {lead}, plug: rx.1, supply: split.1{more}}}
  right: {{like: left, plug: rx.2, supply: split.2}}
motors:
  motor-left: {{full-throttle: {full}, plug: left}}
  motor-right: {{full-throttle: 10 A, plug: right}}
"""
PLAIN = {"plug": "XT60", "full": "60 A", "lead": "300 mm", "more": ""}


def judged(**said: str) -> tuple[list[Finding], list[str]]:
    report = report_of(PLAN.format(**{**PLAIN, **said}))
    name = "ground-loop-share"
    return (
        [f for f in report.findings if f.rule == name],
        [u.missing for u in report.unknown if u.rule == name],
    )


def split(main: float, lead: float) -> float:
    """What of one motor's 60 A goes by both signal grounds: the trade's formula, I2 = 0."""
    return main * 60.0 / (2 * main + 2 * lead)


@pytest.mark.parametrize(
    ("gauge", "metres", "amperes"), [(12, 0.15, 1.0), (12, 0.5, 2.4), (14, 1.0, 6.0)]
)
def test_the_worked_figures_at_sixty_amperes(gauge: int, metres: float, amperes: float) -> None:
    main = resistance(parse_wire(f"{gauge} AWG"), metres * 1000) + 0.0005
    thin = resistance(parse_wire("22 AWG"), 300)
    assert split(main, thin + 0.020) == pytest.approx(amperes, rel=0.04)

    said = {"wire": f"{gauge} AWG", "length": f"{metres * 1000:g} mm"}
    outcome = flows_of(build(plan_of(PLAN.format(**{**PLAIN, **said})))).outcome
    case = [c.name for c in outcome.cases].index("only-left")
    per_ampere = -outcome.stray("left", "plug")[case] / outcome.drawn("left")[case]
    assert per_ampere * 60 == pytest.approx(split(main, thin + 0.015), rel=0.01)


def test_the_published_split_of_seven_amperes() -> None:
    """One main negative of 14 AWG beside one 22 AWG ground of its length: 6 to 1 within a tenth.

    The battery wire and the contacts of the right ESC are next to nothing; those of the lead are
    made small against 10 m of wire.
    """
    text = PLAN.format(**{**PLAIN, "wire": "14 AWG", "length": "10 m", "lead": "10 m"})
    text = text.replace("60 A", "5 A").replace("cells: 4", "cells: 12")
    near = "wire: 8 AWG, length: 1 mm, lead-wire: 8 AWG, lead-length: 1 mm, plug: rx.2"
    outcome = flows_of(build(plan_of(text.replace("like: left, plug: rx.2",
                                                  f"like: left, {near}")))).outcome  # fmt: skip
    case = [c.name for c in outcome.cases].index("only-left")
    share = -outcome.stray("left", "plug")[case] / outcome.drawn("left")[case]
    assert share * 7 == pytest.approx(1.0, abs=0.1)


def warm_share(gauge: str, length: float) -> float:
    """What goes by both signal grounds at 60 A left and 10 A right, for good in air of 20 degC.

    The trade's formula with each main negative as warm as its own current makes it.
    """
    left, right = (wire_ohms(gauge, length, amps) / 2 + 0.0005 for amps in (60, 10))
    thin = 2 * (resistance(parse_wire("22 AWG"), 300) + 0.015)
    return (60 * left - 10 * right) / (left + right + thin)


@pytest.mark.parametrize(
    ("wire", "length", "severity"),
    [("12 AWG", 150, Severity.WARNING), ("12 AWG", 400, Severity.WARNING),
     ("12 AWG", 600, Severity.ERROR), ("14 AWG", 1000, Severity.ERROR)],
)  # fmt: skip
def test_the_rule_on_the_same_plans(wire: str, length: float, severity: Severity) -> None:
    ((finding,), unknown) = judged(wire=wire, length=f"{length} mm")
    assert unknown == []
    assert finding.severity is severity
    assert "of motor current return through the signal ground of" in finding.message
    assert (warm_share(wire, length) > 3) == (severity is Severity.ERROR)  # warned of above 1 A
    assert finding.parts == ("left", "right")


@pytest.mark.parametrize(
    "said",
    [
        {"wire": "12 AWG", "length": "50 mm"},
        {"wire": "12 AWG", "length": "500 mm", "full": "20 A"},
        {"wire": "14 AWG", "length": "1000 mm", "more": ", isolated: yes"},
    ],
)
def test_short_weak_or_isolated(said: dict[str, str]) -> None:
    assert judged(**said) == ([], [])


def test_one_pack_each_closes_no_loop() -> None:
    text = PLAN.format(**{**PLAIN, "wire": "14 AWG", "length": "1000 mm"})
    text = text.replace("supply: split.2", "supply: second").replace(
        "power-leads:", "  second: {chemistry: lipo, cells: 4, connector: XT60}\npower-leads:"
    )
    assert [f for f in report_of(text).findings if f.rule == "ground-loop-share"] == []


def test_one_esc_and_a_regulator_on_one_pack_close_a_loop() -> None:
    """By hand: 8.78 mohm beside 30.9 mohm of the lead and 30 mohm and less of the regulator's."""
    text = PLAN.format(**{**PLAIN, "wire": "14 AWG", "length": "1000 mm"})
    head, _, tail = text.partition("  right:")
    text = head + "motors:" + tail.partition("motors:")[2].partition("  motor-right")[0]
    text += (
        "regulators:\n  reg: {volts: 6 V, supply: split.2, connector: XT60, plug: rx.batt,\n"
        "    wire: 20 AWG, length: 100 mm}\n"
    )
    found = [f for f in report_of(text).findings if f.rule == "ground-loop-share"]
    assert [f.parts for f in found] == [("left",)]


def test_what_is_missing_is_unknown() -> None:
    text = PLAN.format(**{**PLAIN, "wire": "0", "length": "0"}).replace(" wire: 0, length: 0,", "")
    missing = {u.missing for u in report_of(text).unknown if u.rule == "ground-loop-share"}
    assert missing == {"the gauge of its wire (wire)", "the length of its wire (length)"}


def test_a_motor_nobody_knows_is_unknown() -> None:
    text = PLAN.format(**{**PLAIN, "wire": "12 AWG", "length": "500 mm"})
    text = text.replace("full-throttle: 60 A, ", "").replace("full-throttle: 10 A, ", "")
    missing = [u.missing for u in report_of(text).unknown if u.rule == "ground-loop-share"]
    assert missing == ["the full-throttle current of its motor"] * 2
