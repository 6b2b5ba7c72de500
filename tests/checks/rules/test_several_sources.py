"""One BEC on a servo rail: PX4 documentation. Pulled pins: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Finding, Severity

RX = "receivers:\n  rx: {sockets: 8, supply-sockets: 2}\n"
ESC = "  %s: {bec: {volts: %s, rated: 3 A}, plug: %s}\n"
RED = "{into: %s, pulled: positive}"
PACK = "packs:\n  radio: {chemistry: nimh, cells: 4, plug: %s}\n"
GUARD = "diodes:\n  guard: {kind: schottky, plug: rx.batt}\n"
BOX = "sequencers:\n  box: {plug: %s, outlets: 2, power-up: holds, supply: %s}\n"


def told(text: str) -> list[Finding]:
    return [f for f in report_of(RX + text).findings if f.rule == "several-sources"]


@pytest.mark.parametrize(
    ("text", "pulls", "severity"),
    [
        ("escs:\n" + ESC % ("a", "5 V", "rx.3") + ESC % ("b", "5 V", "rx.4"), "b into rx.4", 3),
        ("escs:\n" + ESC % ("a", "5 V", "rx.3") + ESC % ("b", "6 V", "rx.4"), "b into rx.4", 4),
        (PACK % "rx.batt-1" + "escs:\n" + ESC % ("a", "5 V", "rx.3"), "a into rx.3", 4),
        (
            "packs:\n  one: {chemistry: nimh, cells: 4, plug: rx.batt-1}\n"
            "  two: {chemistry: nimh, cells: 4, plug: rx.batt-2}\n",
            "two into rx.batt-2",
            4,
        ),
        (
            "regulators:\n  reg: {volts: 5 V, plug: rx.batt-1}\n"
            "escs:\n" + ESC % ("a", "5 V", "rx.3"),
            "a into rx.3",
            3,
        ),
        (
            "packs:\n  gear: {chemistry: nimh, cells: 4}\n"
            + BOX % ("rx.5", "gear")
            + "escs:\n"
            + ESC % ("a", "5 V", "rx.3"),
            "box into rx.5",
            4,
        ),
    ],
)
def test_each_net_is_told_once_with_the_pin_to_pull(text: str, pulls: str, severity: int) -> None:
    (finding,) = told(text)
    assert pulls in (finding.help or "")
    assert finding.parts[0] == pulls.split(maxsplit=1)[0]
    assert finding.severity == Severity(severity)


def test_all_but_one_are_to_be_pulled() -> None:
    text = "escs:\n" + "".join(ESC % (n, "5 V", f"rx.{k}") for k, n in enumerate("abc", 1))
    (finding,) = told(text)
    assert "b into rx.2 and c into rx.3" in finding.help
    assert "a into" not in finding.help


@pytest.mark.parametrize(
    "text",
    [
        "escs:\n" + ESC % ("a", "5 V", "rx.3") + ESC % ("b", "5 V", RED % "rx.4"),
        PACK % "rx.batt-1" + "escs:\n" + ESC % ("a", "5 V", RED % "rx.3"),
        PACK % "guard.1"
        + GUARD.replace("rx.batt", "rx.batt-1")
        + "  own: {kind: schottky, plug: rx.batt-2}\n"
        + "regulators:\n  reg: {volts: 5 V, plug: own.1}\n",
        "packs:\n  gear: {chemistry: nimh, cells: 4}\n"
        + BOX % (RED % "rx.5", "gear")
        + "escs:\n"
        + ESC % ("a", "5 V", "rx.3"),
        # one regulator on two sockets is one source
        "regulators:\n  reg: {volts: 5 V, plug: [rx.batt-1, rx.batt-2]}\n",
        # packs joined on purpose on the battery side
        "packs:\n  a: {chemistry: lipo, cells: 3, volts: 12 V}\n"
        "  b: {chemistry: lipo, cells: 3, volts: 12 V}\n"
        "power-leads:\n  both: {kind: parallel, supply: [a, b]}\n"
        "regulators:\n  reg: {volts: 5 V, plug: rx.batt-1, supply: both.1, kind: switching}\n",
    ],
)
def test_one_source_a_rail_is_right(text: str) -> None:
    assert "several-sources" not in rules_of(RX + text)
