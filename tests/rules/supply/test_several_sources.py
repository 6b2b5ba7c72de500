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
            "packs:\n  gear: {chemistry: nimh, cells: 4}\n  main: {chemistry: lipo, cells: 3}\n"
            + BOX % ("rx.5", "gear")
            + "escs:\n"
            + ESC % ("a", "5 V", "rx.3, supply: main"),
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


BLACK = """
receivers: {rx: {sockets: 6}}
escs:
  a: {bec: {volts: 5 V}, plug: rx.3, supply: split.1}
  b: {bec: {volts: 5 V}, plug: {into: rx.4, pulled: negative}, supply: %s}
power-leads: {split: {kind: parallel, ways: 2, supply: one}}
packs:
  one: {chemistry: lipo, cells: 3}
  two: {chemistry: lipo, cells: 3}
"""


@pytest.mark.parametrize("pack", ["split.2", "two"])
def test_a_black_pin_pulled_instead_of_the_red_is_one_fault(pack: str) -> None:
    """Trade.md section 8, number 12: its own rule has both pins put right."""
    rules = [f.rule for f in report_of(BLACK % pack).findings]
    assert rules.count("several-sources") == 0
    assert rules.count("signal-without-ground") == 1


def test_the_load_of_two_that_fight_counts_once_for_the_one_that_stays() -> None:
    """30 % of 10 stalls of 1.8 A at 6 V, at most 4.5 A at 5 V, on the one of 4 A that stays."""
    servos = "\n".join(f"  s{n}: {{class: 17g-digital, plug: rx.{n}}}" for n in range(1, 11))
    text = f"""
receivers: {{rx: {{sockets: 12}}}}
servos:
{servos}
escs:
  a: {{bec: {{kind: switching, volts: 5 V, rated: 4 A, burst: 30 A}}, plug: rx.11}}
  b: {{bec: {{kind: switching, volts: 5 V, rated: 3 A, burst: 30 A}}, plug: rx.12}}
"""
    found = [f for f in report_of(text).findings if f.rule in {"several-sources", "bec-load"}]
    loads = [f.message for f in found if f.rule == "bec-load"]
    assert len(found) == 2
    assert loads[0].startswith('the BEC of ESC "a" is rated 4 A, but what it feeds takes 4.')


LIPO = "packs:\n  radio: {chemistry: lipo, cells: 2, capacity: 1 Ah, rate: 20 C, plug: rx.batt-1}\n"
SERVO = "servos:\n  one: {volts-max: %s, plug: rx.1}\n"
REG = "regulators:\n  reg: {volts: 5.5 V, plug: rx.batt-2}\n"


@pytest.mark.parametrize(("bears", "offered"), [("6 V", False), ("8.4 V", True)])
def test_diodes_are_offered_only_where_the_rail_bears_the_highest(
    bears: str, offered: bool
) -> None:
    """Two full lithium cells give 8.4 V, and a diode lets all but its drop through."""
    (finding,) = told(LIPO + SERVO % bears + REG)
    assert ("diode" in finding.help) == offered
    assert "unplug radio into rx.batt-1" in finding.help


@pytest.mark.parametrize(("bears", "stays"), [("6 V", "the BEC of ESC"), ("8.4 V", "pack")])
def test_what_burns_a_servo_is_not_what_goes_on_feeding_it(bears: str, stays: str) -> None:
    (finding,) = told(LIPO + SERVO % bears + "escs:\n" + ESC % ("a", "5 V", "rx.3"))
    assert f'{stays} "{"a" if "BEC" in stays else "radio"}" goes on feeding' in finding.help
