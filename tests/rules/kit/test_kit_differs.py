"""kit-differs: a piece that is meant for a part and is less than the plan wants."""

from __future__ import annotations

import pytest

from harness.base.finding import Severity

from .kit_plan import EXTENSIONS, Y_LEAD, found


@pytest.mark.parametrize(
    ("piece", "why"),
    [
        ("length: 450 mm", "it is 450 mm long, the plan wants 600 mm"),
        ("wire: 26 AWG", "its wire is 26 AWG, the plan wants 22 AWG"),
    ],
)
def test_a_piece_meant_for_a_part_that_is_less(piece: str, why: str) -> None:
    one = "{kind: extension, length: 600 mm, wire: 22 AWG}"
    (bad,) = found("kit-differs", one, Y_LEAD, f"{{kind: extension, {piece}, for: b}}")
    assert bad.severity is Severity.WARNING
    assert bad.message.endswith(f'in the kit is meant for lead "b", but {why}')
    assert found("kit-lacks", one, Y_LEAD, f"{{kind: extension, {piece}, for: b}}") == []


def test_a_whole_kit() -> None:
    assert found("kit-differs", EXTENSIONS, Y_LEAD) == []
