"""Taps on the upper pack, and ESCs on two levels: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from .packs_plan import lead, packs

STACK = (
    packs("low", "high")
    + "power-leads:\n"
    + lead("stack", "series", "low-y.1", "high-y.1")
    + lead("low-y", "parallel", "low", ways=3)
    + lead("high-y", "parallel", "high", ways=3)
    + "receivers:\n  rx: {sockets: 6, telemetry: 5}\n"
)
RADIO = "  radio: {volts: 5 V, cells-max: 12, connector: bullet-6mm, plug: rx.batt, supply: %s%s}\n"
ESC = (
    "  %s: {cells-max: 12, bec: none, connector: bullet-6mm, supply: %s,"
    " plug: {into: %s, pulled: positive}%s}\n"
)


def at(socket: str) -> str:
    return f"{{into: {socket}, poles: straight}}"


def told(text: str) -> list[tuple[str, str]]:
    return [(f.rule, f.parts[0]) for f in report_of(text).findings if f.severity > 1]


MAIN = ESC % ("esc", at("stack.1"), "rx.3", "")


@pytest.mark.parametrize(
    ("more", "rule", "part"),
    [
        (
            "escs:\n" + MAIN + "regulators:\n" + RADIO % (at("high-y.2"), ""),
            "upper-pack-tap",
            "radio",
        ),
        (
            "escs:\n"
            + MAIN
            + "regulators:\n"
            + RADIO % (at("low-y.2"), "")
            + "sensors:\n  volts: {plug: rx.5, supply: high.balance}\n",
            "upper-pack-tap",
            "volts",
        ),
        (
            "regulators:\n"
            + RADIO % (at("low-y.2"), "")
            + "escs:\n"
            + ESC % ("esc", at("high-y.2"), "rx.3", ""),
            "upper-pack-tap",
            "esc",
        ),
        (
            "escs:\n"
            + ESC % ("one", at("low-y.2"), "rx.3", "")
            + ESC % ("two", at("high-y.2"), "rx.4", "")
            + "regulators:\n"
            + RADIO % (at("low-y.3"), ", isolated: yes"),
            "escs-on-different-levels",
            "two",
        ),
    ],
)
def test_the_upper_one_is_named_once(more: str, rule: str, part: str) -> None:
    assert told(STACK + more) == [(rule, part)]


@pytest.mark.parametrize(
    "more",
    [
        "escs:\n" + MAIN + "regulators:\n" + RADIO % (at("low-y.2"), ""),
        "escs:\n" + MAIN + "regulators:\n" + RADIO % (at("high-y.2"), ", isolated: yes"),
        # nothing else ties the receiver to the lower pack
        "regulators:\n" + RADIO % (at("high-y.2"), ""),
        "regulators:\n"
        + RADIO % (at("low-y.2"), "")
        + "sensors:\n  volts: {isolated: yes, plug: rx.5, supply: high.balance}\n",
        "escs:\n"
        + ESC % ("one", at("low-y.2"), "rx.3", "")
        + ESC % ("two", at("high-y.2"), "rx.4", ", isolated: yes")
        + "regulators:\n"
        + RADIO % (at("low-y.3"), ""),
    ],
)
def test_lowest_isolated_or_alone_is_no_fault(more: str) -> None:
    assert rules_of(STACK + more) == []
