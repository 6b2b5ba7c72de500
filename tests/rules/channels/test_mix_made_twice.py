from __future__ import annotations

import pytest
from control_support import found

RULE = "mix-made-twice"


def test_reports_the_mix_and_its_servos() -> None:
    text = "mixes: [{kind: v-tail, made-in: both}]\nservos: {a: {moves: v-tail, plug: rx.1}}"
    (finding,) = found(RULE, text)
    assert finding.parts == ("a",)
    assert finding.span.line == 5


@pytest.mark.parametrize("where", ["", ", made-in: transmitter", ", made-in: autopilot"])
def test_one_place_is_right(where: str) -> None:
    assert found(RULE, f"mixes: [{{kind: v-tail{where}}}]") == []
