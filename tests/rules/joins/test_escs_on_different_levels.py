"""Two ESCs on two levels of a stack: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

from .packs_plan import lead, packs

PLAN = (
    packs("low", "high")
    + "power-leads:\n"
    + lead("stack", "series", "low-y.1", "high-y.1")
    + lead("low-y", "parallel", "low", ways=2)
    + lead("high-y", "parallel", "high", ways=2)
    + "receivers:\n  rx: {sockets: 6}\n"
)
ESC = (
    "  %s: {bec: none, cells-max: 4, connector: bullet-6mm,"
    " supply: {into: %s, poles: straight}%s}\n"
)


def rules(one: str, two: str) -> list[str]:
    text = PLAN + "escs:\n" + ESC % ("left", "low-y.2", one) + ESC % ("right", "high-y.2", two)
    return [f.rule for f in report_of(text).findings if f.severity > 3]


@pytest.mark.parametrize(("left", "right"), [("rx.3", "rx.4"), ("rx.4", "rx.3")])
def test_both_at_one_receiver(left: str, right: str) -> None:
    assert rules(f", plug: {left}", f", plug: {right}") == ["escs-on-different-levels"]


@pytest.mark.parametrize(
    ("left", "right"),
    [
        (", plug: rx.3", ", plug: rx.4, isolated: yes"),
        (", plug: rx.3, isolated: yes", ", plug: rx.4"),
        (", plug: rx.3", ""),
    ],
)
def test_isolated_or_not_plugged(left: str, right: str) -> None:
    assert rules(left, right) == []
