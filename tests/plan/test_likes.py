"""What a part is like may be what cannot be read: that is told, and nothing of the other missed."""

from __future__ import annotations

import pytest
from support import HEAD

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.reading.problems import PlanError

SECOND = "  b: {like: a, plug: rx.batt, supply: p}\nreceivers: {rx: {sockets: 4}}\n"
PACK = "packs: {p: {chemistry: lipo, cells: 2}}\nswitches: {s: {plug: b}}\n"


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ("9g-analogue", ['"a" is a regulator: its keys are wanted here']),
        ("{like: a}", ["a is like itself"]),
        ("{like: b}", ["a and b are like one another"]),
        ("", ['the key "volts" is missing (also on line 5)']),
    ],
)
def test_what_is_like_something_unread_is_not_read_either(first: str, told: list[str]) -> None:
    text = f"{HEAD}regulators:\n  a: {first}\n{SECOND}{PACK}"
    with pytest.raises(PlanError) as error:
        parse_plan(Source("plan.yaml", text))
    assert [problem.message for problem in error.value.problems] == told
