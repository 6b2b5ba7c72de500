from __future__ import annotations

import pytest
from control_support import found

RULE = "plug-not-placed"
WING = "wing-plugs: {w: {contacts: 3, circuits: {a: {signal: 1, positive: 2, negative: 3}}%s}}\n"


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {}}",
        "leads: {a: {kind: extension}}",
        "escs: {a: {}}",
        "retracts: {a: {kind: self-contained}}",
        "sequencers: {a: {outlets: 2, power-up: holds}}",
        "servos: {b: {plug: rx.1}, a: {like: b}}",
        "regulators: {a: {volts: 5 V}}",
    ],
)
def test_reports_the_part(text: str) -> None:
    (finding,) = found(RULE, text)
    assert finding.parts == ("a",)


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {plug: rx.1}}",
        "loads: {lamp: {supply: p}}\npacks: {p: {chemistry: lipo, cells: 3}}",
        "regulators: {r: {volts: 5 V}}\nloads: {lamp: {supply: r.out}}",
        "packs: {p: {chemistry: lipo, cells: 3}}",
        WING % "",
        WING % ", plugs: {a: rx.1}" + "servos: {a: {plug: w.a}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_a_circuit_in_use_needs_its_lead() -> None:
    (finding,) = found(RULE, WING % "" + "servos: {a: {plug: w.a}}")
    assert 'circuit "a" of wing plug "w"' in finding.message


def test_what_another_part_names_is_not_told_to_go() -> None:
    leg = "\nretracts: {nose: {kind: self-contained, steered-by: a, plug: rx.2}}"
    (alone,) = found(RULE, "servos: {a: {}}")
    (named,) = found(RULE, "servos: {a: {}}" + leg)
    assert "take the part out" in alone.help
    assert "take the part out" not in named.help
