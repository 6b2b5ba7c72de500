from __future__ import annotations

import pytest
from control_support import found

RULE = "power-up-undeclared"


def test_a_silent_box_is_reported() -> None:
    (finding,) = found(RULE, "sequencers: {box: {outlets: 2, plug: rx.5}}")
    assert finding.parts == ("box",)


@pytest.mark.parametrize("word", ["holds", "follows", "down", "up"])
def test_any_declared_state_will_do(word: str) -> None:
    assert found(RULE, f"sequencers: {{box: {{outlets: 2, plug: rx.5, power-up: {word}}}}}") == []
