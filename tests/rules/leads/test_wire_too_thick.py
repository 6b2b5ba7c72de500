"""Whether a wire goes into its plug. The thickest that does is from memory, no source seen."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
escs:
  esc: {{rated: 99 A, bec: none, supply: main, {esc}}}
motors:
  m: {{full-throttle: {amps} A, plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 60 C, connector: XT60{pack}}}
"""


def found(esc: str, amps: float = 20, pack: str = "") -> list[Finding]:
    report = report_of(PLAN.format(esc=esc, amps=amps, pack=pack))
    return [f for f in report.findings if f.rule == "wire-too-thick"]


@pytest.mark.parametrize(
    ("connector", "wire", "fits"),
    [
        ("XT60", "10 AWG", True),
        ("XT60", "12 AWG", True),
        ("XT60", "8 AWG", False),
        ("XT60", "6 mm2", False),  # 10 AWG is 5.26 mm2 (ASTM B258)
        ("XT60", "5 mm2", True),
        ("XT30", "12 AWG", False),
        ("bullet-4mm", "10 AWG", True),
        ("bullet-3.5mm", "8 AWG", False),
        ("bullet-10mm", "4 AWG", True),
        ("bullet-8mm", "4 AWG", False),
    ],
)
def test_a_wire_and_its_plug(connector: str, wire: str, fits: bool) -> None:
    findings = found(f"connector: {connector}, wire: {wire}")
    assert [f.severity for f in findings] == ([] if fits else [Severity.WARNING])
    for finding in findings:
        assert finding.parts == ("esc",)
        assert f"the {wire} wire" in finding.message
        assert connector in finding.message


def test_each_part_is_told_of_its_own_plug() -> None:
    both = found("connector: XT60, wire: 8 AWG", pack=", wire: 8 AWG")
    assert sorted(f.parts for f in both) == [("esc",), ("main",)]


@pytest.mark.parametrize("esc", ["connector: XT60", "wire: 8 AWG"])
def test_what_is_not_stated_is_not_judged(esc: str) -> None:
    assert found(esc) == []


def test_a_servo_plug_takes_20_awg() -> None:
    text = """
receivers: {rx: {sockets: 4, supply-sockets: 1}}
regulators: {reg: {volts: 5 V, rated: 3 A, plug: rx.batt, wire: WIRE}}
"""
    for wire, count in (("20 AWG", 0), ("18 AWG", 1)):
        report = report_of(text.replace("WIRE", wire))
        assert [f.rule for f in report.findings].count("wire-too-thick") == count


def test_the_stem_of_a_lead_that_splits_at_its_end_goes_into_its_single_plug_alone() -> None:
    text = PLAN.replace("supply: main,", "supply: y.1,") + (
        "power-leads:\n  y: {{kind: parallel, ways: 2, supply: main, connector: XT60,"
        " connector-in: EC5, wire: 8 AWG, length: 80 mm{split}}}\n"
    )
    for split, parts in (("", ["y"]), (", split: plug", ["y"]), (", split: end", [])):
        text_of = text.format(esc="connector: XT60", amps=20, pack="", split=split)
        told = [f.parts[0] for f in report_of(text_of).findings if f.rule == "wire-too-thick"]
        assert told == parts


def test_thinner_wire_is_offered_only_where_it_bears_what_flows() -> None:
    """10 AWG of silicone bears 62 A (heat balance in air of 40 degC)."""
    (light,) = found("connector: XT60, wire: 8 AWG", amps=20)
    assert "use 10 AWG wire" in (light.help or "")
    (heavy,) = found("connector: XT60, wire: 8 AWG", amps=80)
    assert "10 AWG" not in (heavy.help or "")
    assert (heavy.help or "").startswith("fit ")


def test_the_plugs_that_are_offered_take_it_and_bear_what_flows() -> None:
    (light,) = found("connector: XT60, wire: 8 AWG", amps=20)
    offered = (light.help or "").split("fit ")[1].split(" on both")[0].split(" or ")
    assert offered
    for name in offered:
        again = found(f"connector: {name}, wire: 8 AWG")
        assert again == []
