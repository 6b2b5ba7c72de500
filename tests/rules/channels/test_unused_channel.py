from __future__ import annotations

import pytest
from control_support import found

RULE = "unused-channel"


def test_reports_an_empty_channel() -> None:
    (finding,) = found(RULE, "channels: {7: hook}")
    assert "channel 7 (hook)" in finding.message
    assert (finding.parts, finding.spot) == (("rx",), "7")


@pytest.mark.parametrize(
    "text",
    [
        "channels: {7: hook}\nservos: {a: {moves: hook, plug: rx.7}}",
        "channels: {7: gain}\nstabilisers: {g: {plugs: {gain: rx.7}}}",
        # its servo is in the plan, but plugged elsewhere or nowhere: those rules speak
        "channels: {7: hook, 1: aileron}\nservos: {a: {moves: hook, plug: rx.1}}",
        "channels: {7: hook}\nservos: {a: {moves: hook}}",
        "receivers: {rx: {sockets: 8, plug: ap.rc}}\nautopilots: {ap: {sockets: 8}}\n"
        "channels: {7: mode}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []
