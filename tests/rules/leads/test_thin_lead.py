"""An extension is at least as thick as the servo's own lead (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers:
  rx: {{sockets: 4}}
servos:
  a: {{moves: flap, plug: y.1{a}}}
  b: {{moves: flap, plug: y.2, wire: 28 AWG}}
leads:
  y: {{kind: y, plug: rx.1, tested: yes{lead}}}
"""


@pytest.mark.parametrize(
    ("a", "lead", "parts"),
    [
        (", wire: 24 AWG", ", wire: 24 AWG", None),
        (", wire: 22 AWG", ", wire: 24 AWG", ("y", "a")),
        (", wire: 0.33 mm2", ", wire: 22 AWG", ("y", "a")),  # 22 AWG is 0.326 mm2 (ASTM B258)
        (", wire: 24 AWG", ", wire: 30 AWG", ("y", "a", "b")),
        (", class: giant-hv", ", wire: 22 AWG", ("y", "a")),  # 20 AWG (memory)
    ],
)
def test_gauges(a: str, lead: str, parts: tuple[str, ...] | None) -> None:
    report = report_of(PLAN.format(a=a, lead=lead))
    found = [f.parts for f in report.findings if f.rule == "thin-lead"]
    assert found == ([parts] if parts else [])


@pytest.mark.parametrize(
    ("a", "lead", "part"),
    [
        (", class: giant-hv", "", ["y"]),  # the usual 22 AWG would be too thin
        (", wire: 24 AWG", "", []),
        ("", ", wire: 22 AWG", ["a"]),
    ],
)
def test_unknown(a: str, lead: str, part: list[str]) -> None:
    unknown = report_of(PLAN.format(a=a, lead=lead)).unknown
    assert [u.part for u in unknown if u.rule == "thin-lead"] == part


def test_a_lead_that_cannot_carry_its_current_is_one_fault() -> None:
    """28 AWG for 1 to 1.25 A (trade.md), a 17 g digital servo stalls at 1.8 A: wire-load's."""
    text = """
receivers: {rx: {sockets: 4}}
servos: {e: {class: 17g-digital, plug: x.1}}
leads: {x: {kind: extension, wire: 28 AWG, plug: rx.2}}
regulators: {reg: {volts: 5 V, plug: rx.batt}}
"""
    rules = [f.rule for f in report_of(text).findings]
    assert "wire-load" in rules
    assert "thin-lead" not in rules
