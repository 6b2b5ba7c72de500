"""No signal, no orders: the thing itself, no source."""

from __future__ import annotations

import pytest
from support import report_of

RX = "receivers: {rx: {sockets: 6}}\n"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("servos: {a: {plug: {into: rx.1, pulled: signal}}}", [("a",)]),
        ("servos: {a: {plug: {into: rx.1, pulled: positive}}}", []),
        ("servos: {a: {plug: rx.1}}", []),
        (
            "escs: {e: {bec: {volts: 5 V}, plug: {into: rx.3, pulled: [signal, positive]}}}",
            [("e",)],
        ),
        (
            "leads: {y: {kind: y, plug: {into: rx.1, pulled: signal}}}\n"
            "servos: {a: {plug: y.1}, b: {plug: y.2}}",
            [("y", "a", "b")],
        ),
        ("regulators: {r: {volts: 5 V, plug: {into: rx.batt, pulled: signal}}}", []),
        ("escs: {e: {bec: {volts: 5 V}, plug: {into: rx.batt, pulled: signal}}}", []),
    ],
)
def test_who_hears_nothing(text: str, parts: list[tuple[str, ...]]) -> None:
    findings = report_of(RX + text + "\n").findings
    assert [f.parts for f in findings if f.rule == "pulled-signal"] == parts
