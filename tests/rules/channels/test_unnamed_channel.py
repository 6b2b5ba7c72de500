from __future__ import annotations

import pytest
from control_support import found, missing
from support import report_of

RULE = "unnamed-channel"
PILOT = "receivers: {rx: {sockets: 8, plug: ap.rc}}\nautopilots: {ap: {sockets: 8%s}}\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("channels: {1: aileron}\nservos: {a: {moves: hook, plug: rx.6}}", "`6: hook`"),
        ("channels: {1: aileron}\nescs: {a: {plug: rx.6}}", "`6: throttle`"),
        (PILOT % ", outputs: {1: aileron}" + "servos: {a: {plug: ap.2}}", "outputs of ap"),
    ],
)
def test_reports_the_socket(text: str, words: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.help


@pytest.mark.parametrize(
    "text", ["servos: {a: {plug: rx.6}}", PILOT % "" + "servos: {a: {plug: ap.2}}"]
)
def test_a_plan_without_channels_is_not_known(text: str) -> None:
    assert found(RULE, text) == []
    assert len(missing(RULE, text)) == 1


@pytest.mark.parametrize(
    "text",
    [
        "channels: {1: aileron}\nservos: {a: {plug: rx.1}}",
        "channels: {1: aileron}\nleads: {e: {kind: extension, plug: rx.2}}",
        "channels: {1: aileron}\npacks: {p: {chemistry: nimh, cells: 5, plug: rx.8}}",
        "channels: {1: aileron}\nloads: {lamp: {current: 1 A, plug: rx.8}}",
    ],
)
def test_supplies_and_lamps_need_no_function(text: str) -> None:
    assert found(RULE, text) == []
    assert missing(RULE, text) == []


def test_a_channel_without_a_socket_whose_servo_hangs_on_another_is_one_fault() -> None:
    text = """
channels: {7: hook}
receivers: {rx: {sockets: [one, two]}}
servos: {e: {moves: hook, plug: rx.two}}
"""
    (only,) = [f for f in report_of(text).findings if "channel" in f.rule]
    assert (only.rule, only.help) == (
        "unnamed-channel",
        "write channel `7` as `2`, that of its socket",
    )
