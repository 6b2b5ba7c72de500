"""kit-left-over: told at the line of the kit, but for spares."""

from __future__ import annotations

from harness.base.finding import Severity

from .kit_plan import EXTENSIONS, Y_LEAD, found


def test_left_over_is_told_at_its_line() -> None:
    (one,) = found("kit-left-over", EXTENSIONS, Y_LEAD, "{kind: y, count: 2, length: 300 mm}")
    assert one.severity is Severity.NOTE
    assert one.message == (
        "2 Y-leads (300 mm) of the kit are left over: the Y-leads of the plan are all found"
    )


def test_spares_are_expected() -> None:
    spare = "{kind: y, count: 2, length: 300 mm, spare: yes}"
    assert found("kit-left-over", EXTENSIONS, Y_LEAD, spare) == []


def test_a_whole_kit() -> None:
    assert found("kit-left-over", EXTENSIONS, Y_LEAD) == []
