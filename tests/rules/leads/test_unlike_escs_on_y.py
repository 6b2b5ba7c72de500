"""Two ESCs on a Y: same type and settings (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.rules.run import Report

PLAN = """
receivers:
  rx: {{sockets: 4}}
leads:
  y: {{kind: y, plug: rx.3, tested: yes}}
escs:
  l: {{bec: none, plug: y.1{left}}}
  r: {{bec: none, plug: {right_plug}{right}}}
"""


def report(left: str, right: str, right_plug: str = "y.2") -> Report:
    return report_of(PLAN.format(left=left, right=right, right_plug=right_plug))


@pytest.mark.parametrize(
    ("left", "right", "plug", "count"),
    [
        (", rated: 40 A", ", rated: 40 A", "y.2", 0),
        (", rated: 40 A", ", rated: 60 A", "y.2", 1),
        (", rated: 40 A", ", rated: 60 A", "rx.4", 0),
        (", rated: 40 A, cells-max: 4", ", rated: 40 A, cells-max: 6", "y.2", 1),
        (", rated: 40 A, burst: 50 A", ", rated: 60 A, burst: 80 A", "y.2", 1),
        (", rated: 40 A, burst: 50 A", ", rated: 40 A", "y.2", 0),
    ],
)
def test_likeness(left: str, right: str, plug: str, count: int) -> None:
    found = [f for f in report(left, right, plug).findings if f.rule == "unlike-escs-on-y"]
    assert len(found) == count


def test_a_rating_on_one_side_only_is_unknown() -> None:
    unknown = report(", rated: 40 A", "").unknown
    assert [u.part for u in unknown if u.rule == "unlike-escs-on-y"] == ["r"]


@pytest.mark.parametrize(
    ("leads", "told"),
    [
        ("plug: long.1}\n  long: {kind: extension, plug: rx.3}", ["y"]),
        ("plug: first.1}\n  first: {kind: y, plug: rx.3}", ["first"]),
    ],
)
def test_behind_an_extension_it_is_told_and_behind_another_y_once(
    leads: str, told: list[str]
) -> None:
    text = PLAN.format(left=", rated: 40 A", right=", rated: 60 A", right_plug="y.2")
    text = text.replace("plug: rx.3, tested: yes}", leads)
    found = [f for f in report_of(text).findings if f.rule == "unlike-escs-on-y"]
    assert [f.parts[1] for f in found] == told
