"""kit-lacks: what is to be bought; which piece does for what is tested in tests/airframe."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

from .kit_plan import EXTENSIONS, PLAN, Y_LEAD, found


def test_no_kit_no_word() -> None:
    rules = {f.rule for f in report_of(PLAN).findings}
    assert not {rule for rule in rules if rule.startswith("kit-")}


def test_alike_things_are_one_finding_that_names_each_part() -> None:
    (one,) = found("kit-lacks", Y_LEAD)
    assert one.message == 'the kit lacks 2 extensions (600 mm, 22 AWG) for lead "a" and lead "b"'
    assert (one.severity, one.parts) == (Severity.NOTE, ("a", "b"))


@pytest.mark.parametrize(
    ("most", "severity"), [(0, Severity.WARNING), (1, Severity.WARNING), (2, Severity.NOTE)]
)
def test_more_than_may_be_bought(most: int, severity: Severity) -> None:
    (one,) = found("kit-lacks", Y_LEAD, more=f"buy-at-most: {most}\n")
    assert one.severity is severity


def test_the_nearest_piece_is_named() -> None:
    short = "{kind: extension, length: 450 mm, wire: 22 AWG, spare: yes}"
    (one,) = found("kit-lacks", Y_LEAD, short)
    assert dict(one.numbers)["nearest in the kit"] == (
        "the extension (450 mm, 22 AWG) does not do: it is 450 mm long, the plan wants 600 mm"
    )


def test_a_whole_kit() -> None:
    assert found("kit-lacks", EXTENSIONS, Y_LEAD) == []
