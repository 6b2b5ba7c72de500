"""A diode in each of several supplies: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
receivers:
  rx: {{sockets: 4, supply-sockets: 2, volts-max: 9 V}}
diodes:
  guard: {{kind: schottky, plug: rx.batt-2}}
  other: {{kind: schottky, plug: rx.4}}
packs:
  second: {{chemistry: {kind}, cells: {cells}, plug: guard.1}}
{first}
"""
PACK = "  first: {chemistry: nimh, cells: 5, plug: %s}"
BEC = "escs:\n  first: {bec: {volts: 5 V}, plug: %s}"


def judged(kind: str, cells: int, first: str) -> list[tuple[str, Severity]]:
    report = report_of(PLAN.format(kind=kind, cells=cells, first=first))
    return [(f.parts[0], f.severity) for f in report.findings if f.rule == "back-fed"]


@pytest.mark.parametrize(
    ("kind", "cells", "first", "expected"),
    [
        ("life", 2, PACK % "rx.batt-1", [("first", Severity.ERROR)]),
        ("life", 2, BEC % "rx.3", [("first", Severity.WARNING)]),
        ("life", 2, PACK % "other.1", []),
        # 3 NiMH give 4.2 V full, less than 5 NiMH when empty (5.0 V, memory)
        ("nimh", 3, PACK % "rx.batt-1", []),
    ],
)
def test_the_one_without_a_diode(
    kind: str, cells: int, first: str, expected: list[tuple[str, Severity]]
) -> None:
    assert judged(kind, cells, first) == expected
