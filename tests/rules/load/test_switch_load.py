"""Switches and diodes. A switch's class figure (3 A) is from memory; sums by hand."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

PLAN = """
receivers:
  rx: {{sockets: 4}}
loads:
  lamp: {{current: {amps}, plug: rx.1}}
{box}regulators:
  reg: {{volts: 6 V, rated: 20 A, burst: 40 A, plug: box.1}}
"""
SWITCH = "switches:\n  box: {%splug: rx.batt}\n"
DIODE = "diodes:\n  box: {kind: ideal%s, plug: rx.batt}\n"


@pytest.mark.parametrize(
    ("box", "amps", "fires"),
    [
        (SWITCH % "rated: 2 A, ", "1.9 A", False),  # and 0.1 A of the receiver
        (SWITCH % "rated: 2 A, ", "2 A", True),
        (SWITCH % "", "2.9 A", False),
        (SWITCH % "", "3 A", False),  # the plug is overloaded too and says so
        (SWITCH % "kind: electronic, ", "6 A", False),
        (DIODE % ", rated: 1 A", "1 A", True),
        (DIODE % ", rated: 3 A", "1 A", False),
    ],
)
def test_ratings(box: str, amps: str, fires: bool) -> None:
    assert ("switch-load" in rules_of(PLAN.format(box=box, amps=amps))) == fires


def test_a_diode_without_rating_is_unknown() -> None:
    unknown = report_of(PLAN.format(box=DIODE % "", amps="1 A")).unknown
    assert [u.part for u in unknown if u.rule == "switch-load"] == ["box"]


@pytest.mark.parametrize(
    "text",
    [SWITCH % "", DIODE % ", rated: 3 A", DIODE.replace(", plug: rx.batt", "") % ""],
    ids=["by its class", "stated", "nothing flows"],
)
def test_what_is_known_or_carries_nothing_is_not_asked_for(text: str) -> None:
    plan = PLAN.format(box=text, amps="1 A")
    plan = plan if "rx.batt" in text else plan.replace("plug: box.1", "plug: rx.batt")
    assert [u for u in report_of(plan).unknown if u.rule == "switch-load"] == []
