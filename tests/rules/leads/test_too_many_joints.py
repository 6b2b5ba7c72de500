"""At most two joints a run (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of


def plan(count: int, last: str = "e0", end: str = "rx.1") -> str:
    leads = "".join(
        f"  e{n}: {{kind: extension, plug: {f'e{n + 1}.1' if n + 1 < count else end}}}\n"
        for n in range(count)
    )
    return f"receivers:\n  rx: {{sockets: 4}}\nleads:\n{leads}servos:\n  s: {{plug: {last}.1}}\n"


@pytest.mark.parametrize(("count", "fires"), [(1, 0), (2, 0), (3, 1), (4, 1)])
def test_count(count: int, fires: int) -> None:
    found = [f for f in report_of(plan(count)).findings if f.rule == "too-many-joints"]
    assert len(found) == fires
    assert all(f.message.startswith(f"{count} joints") for f in found)


def test_both_ends_of_a_y_are_one_report() -> None:
    text = plan(3, "y").replace("leads:\n", "leads:\n  y: {kind: y, plug: e0.1, tested: yes}\n")
    text += "  t: {plug: y.2}\n"
    (finding,) = [f for f in report_of(text).findings if f.rule == "too-many-joints"]
    assert {"s", "t"} <= set(finding.parts)


def test_a_box_begins_a_new_run() -> None:
    text = plan(2, end="gyro.a") + ("stabilisers:\n  gyro: {plugs: {a: f.1}}\n")
    text = text.replace("leads:\n", "leads:\n  f: {kind: extension, plug: rx.1}\n")
    assert [f for f in report_of(text).findings if f.rule == "too-many-joints"] == []
