"""A rail with a stated limit; the sum is 30 % of all stalls (common practice, no source)."""

from __future__ import annotations

import pytest
from support import rules_of

PLAN = """
receivers:
  rx: {{sockets: 6{rx}}}
servos:
  a: {{stall: 2 A, moves: aileron, plug: rx.1}}
  d: {{stall: 2 A, moves: gear-door, plug: box.doors}}
sequencers:
  box: {{plug: rx.5, outlets: [doors]{box}}}
regulators:
  reg: {{volts: 6 V, rated: 20 A, burst: 40 A, plug: rx.batt}}
"""


@pytest.mark.parametrize(
    ("rx", "box", "fires"),
    [
        # 0.6 + 0.6 + 0.1 (receiver) + 0.05 (box) = 1.35 A at 6 V, a tenth less by the leads
        (", limit: 1.35 A", "", False),
        (", limit: 1.2 A", "", True),
        ("", "", False),
        ("", ", limit: 0.58 A", True),  # 0.6 and its own 0.05, less a tenth
        ("", ", limit: 0.65 A", False),
    ],
)
def test_limit(rx: str, box: str, fires: bool) -> None:
    assert ("socket-rail-load" in rules_of(PLAN.format(rx=rx, box=box))) == fires
