from __future__ import annotations

import pytest
from control_support import found

RULE = "wrong-socket-kind"
BOX = "sequencers: {box: {outlets: 2, motor-outlets: 2, plug: rx.5, power-up: holds}}\n"
PILOT = "receivers: {rx: {sockets: 8, plug: ap.rc}}\nautopilots: {ap: {sockets: 8}}\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        # "a bare-motor leg in a 3-pin socket: socket kinds differ": common practice, no source
        ("retracts: {leg: {kind: bare-motor, plug: rx.5}}", "until it burns"),
        (BOX + "retracts: {leg: {kind: bare-motor, plug: box.1}}", "until it burns"),
        (BOX + "retracts: {leg: {kind: self-contained, plug: box.2}}", "is a two-wire socket"),
        ("motors: {m: {plug: rx.3}}", "has a motor plug"),
        ("servos: {a: {plug: rx.batt}}", "gives out no channel"),
        ("servos: {a: {plug: e.1}}\nleads: {e: {kind: extension, plug: rx.batt}}", "no channel"),
        (PILOT + "servos: {a: {plug: ap.telemetry}}", "gives out no channel"),
        (
            "servos: {a: {plug: s.next}}\nsensors: {s: {plug: tx.7, passes-on: yes}}\n"
            "receivers: {tx: {sockets: 8, telemetry: 7}}",
            "gives out no channel",
        ),
    ],
)
def test_reports_unlike_forms(text: str, words: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.message


@pytest.mark.parametrize(
    "text",
    [
        BOX + "retracts: {leg: {kind: bare-motor, plug: box.2}}",
        BOX + "retracts: {leg: {kind: self-contained, plug: box.1}}",
        "packs: {p: {chemistry: nimh, cells: 5, plug: rx.batt}}",
        "packs: {p: {chemistry: nimh, cells: 5, plug: rx.8}}",
        PILOT + "servos: {a: {plug: ap.3}}",
        "regulators: {r: {volts: 6 V, plug: rx.batt}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_two_devices_on_one_supply_socket_are_one_fault() -> None:
    text = "servos: {a: {plug: y.1}, b: {plug: y.2}}\nleads: {y: {kind: y, plug: rx.batt}}"
    assert len(found(RULE, text)) == 1
