"""An ESC stops its motor at the volts a cell at which its cut-off stands.

Copper: 12 AWG 1.588 ohm / 1000 ft (published table, IEC 60028); cells: 3.695 V at 20 % and 3.793 V
at 50 % of charge (PyBaMM, parameter set Ai2020). That a motor takes more of more volts: the
first-order law of motor and propeller.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
escs:
  esc: {{rated: 80 A, cells-max: 4, cut-off: {cut}, bec: none, connector: XT90, wire: 8 AWG,
    length: 10 mm, supply: long}}
motors: {{motor: {{full-throttle: 46 A, full-throttle-volts: 11.1 V, plug: esc}}}}
power-leads:
  long: {{kind: extension, supply: main, length: {length}, wire: {wire}, connector: XT90}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 10 Ah, rate: 40 C, cell-resistance: 1 mohm,
    connector: XT90, wire: 8 AWG, length: 10 mm}}
"""
THREE_METRES = 2 * 3 / 0.3048 * 1.588e-3
"""Ohm, there and back, at 20 degC; warm copper resists more."""


def _found(cut: str, length: str, wire: str) -> list[Finding]:
    report = report_of(PLAN.format(cut=cut, length=length, wire=wire))
    return [finding for finding in report.findings if finding.rule == "esc-cuts-off"]


def test_what_a_long_wire_takes_is_an_error() -> None:
    """At 30 A or less the ESC would have 11.6 V, more than the 11.1 V at which it takes 46 A."""
    most = 3 * 4.2 - 30 * THREE_METRES
    assert most > 11.1
    (found,) = _found(f"{most / 3 + 0.01:.2f} V", "3 m", "12 AWG")
    assert found.severity is Severity.ERROR
    assert found.span.line == 5


@pytest.mark.parametrize("cut", ["none", "2.5 V"])
def test_no_cut_off_or_a_low_one_stops_nothing(cut: str) -> None:
    """With 11 V or more at 46 A of 11.1 V: 3.3 V a cell even at the end of the wire."""
    assert not _found(cut, "3 m", "12 AWG")


def test_only_a_pack_nearly_empty_is_a_warning() -> None:
    """Cells at rest stand at 3.695 V at 20 % and 3.793 V at half: between them it lies."""
    (found,) = _found("3.72 V", "50 mm", "8 AWG")
    assert found.severity is Severity.WARNING
    assert "low-packs" in found.message


def test_thick_short_wires_let_it_run() -> None:
    assert not _found("3.2 V", "50 mm", "8 AWG")
