"""An arming plug above 1 kW (common practice, no source); 3.7 V a cell (PX4 user guide)."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
escs:
  l: {{rated: 99 A, bec: none, supply: {left}}}
  r: {{rated: 99 A, bec: none, supply: {right}}}
motors:
  ml: {{full-throttle: {amps}, plug: l}}
  mr: {{full-throttle: {amps}, plug: r}}
packs:
  p: {{chemistry: lipo, cells: 4, capacity: 9 Ah, rate: 50 C, connector: AS150}}
power-leads:
  y: {{kind: parallel, ways: 2, supply: {feed}, connector: AS150, wire: 8 AWG}}
{more}"""
ARM = "  arm: {kind: arming, supply: p, connector: AS150, wire: 8 AWG}\n"


@pytest.mark.parametrize(
    ("amps", "left", "right", "feed", "parts"),
    [
        # 4 * 3.7 V * 2 * 33.7 A = 998 W; 34 A: 1006 W
        ("33.7 A", "y.1", "y.2", "p", None),
        ("34 A", "y.1", "y.2", "p", {"l", "r"}),
        ("34 A", "y.1", "y.2", "arm", None),
    ],
)
def test_power(amps: str, left: str, right: str, feed: str, parts: set[str] | None) -> None:
    more = ARM if feed == "arm" else ""
    text = PLAN.format(amps=amps, left=left, right=right, feed=feed, more=more)
    report = report_of(text)
    found = [set(f.parts) for f in report.findings if f.rule == "arming-plug"]
    assert found == ([parts] if parts else [])


def test_only_the_esc_without_one_is_named() -> None:
    q = "  q: {chemistry: lipo, cells: 4, capacity: 9 Ah, rate: 50 C}\npower-leads:"
    text = PLAN.format(amps="40 A", left="y.1", right="q", feed="arm", more=ARM)
    text = text.replace("power-leads:", q)
    (finding,) = [f for f in report_of(text).findings if f.rule == "arming-plug"]
    assert finding.parts == ("r",)
