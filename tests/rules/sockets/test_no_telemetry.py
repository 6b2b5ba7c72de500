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


@pytest.mark.parametrize(
    ("socket", "gives", "cure"),
    [
        ("rx.2", "channel 2", 'write `telemetry: 2` for "rx"'),
        ("rx.batt-2", "no telemetry", "name the receiver's socket for telemetry there"),
    ],
)
def test_without_a_socket_for_it_only_a_channel_can_be_set_to_it(
    socket: str, gives: str, cure: str
) -> None:
    """What feeds a receiver is no output of it: the thing itself."""
    none = PLAN.replace("{sockets: 4, telemetry: tele}", "{sockets: 4, supply-sockets: 2}")
    text = none.replace("plug: rx.batt}", "plug: rx.batt-1}") % socket
    (found,) = [f for f in report_of(text).findings if f.rule == "no-telemetry"]
    assert f"which gives {gives}:" in found.message and cure in found.help
