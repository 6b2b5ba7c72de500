"""Data that nobody reads: a sensor in a channel, an ESC's telemetry lead in one."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

PLAN = """
receivers: {rx: {sockets: 4, telemetry: tele}}
sensors: {vario: {plug: %s}}
packs: {radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, rate: 5 C, plug: rx.batt}}
"""


@pytest.mark.parametrize("socket", ["rx.1", "rx.4"])
def test_a_sensor_in_a_channel_is_read_by_nobody(socket: str) -> None:
    found = [f for f in report_of(PLAN % socket).findings if f.rule == "no-telemetry"]
    assert [(f.severity, f.parts[0]) for f in found] == [(Severity.ERROR, "vario")]
    assert "rx.tele" in found[0].help


def test_one_in_its_own_socket_is_silent() -> None:
    assert "no-telemetry" not in rules_of(PLAN % "rx.tele")
