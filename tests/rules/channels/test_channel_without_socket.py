from __future__ import annotations

import pytest
from control_support import found, numbers

RULE = "channel-without-socket"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("channels: {9: hook}", "no receiver has a socket for channel 9, hook (rx has 8)"),
        ("receivers: {rx: {sockets: [ail, ele]}}\nchannels: {3: hook}", "for channel 3, hook"),
        ("receivers: {rx: {sockets: {ail: 2}}}\nchannels: {1: hook}", "for channel 1, hook"),
        ("channels: {8: hook}\ntransmitter: {channels: 7}", "beyond the 7 channels"),
        # beyond the transmitter and beyond the receiver: the transmitter is said, once
        ("channels: {9: hook}\ntransmitter: {channels: 8}", "beyond the 8 channels"),
    ],
)
def test_reports_the_channel_once(text: str, words: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.message


@pytest.mark.parametrize(
    "text",
    [
        "channels: {8: hook}\ntransmitter: {channels: 8}",
        "receivers: {rx: {sockets: [ail, ele]}}\nchannels: {ail: aileron}",
        "receivers: {rx: {sockets: [ail, ele]}}\nchannels: {1: aileron}",
        "receivers: {rx: {sockets: {hook: 7}}}\nchannels: {7: hook}",
        "receivers: {a: {sockets: 4}, b: {sockets: 8}}\nchannels: {7: hook}",
        "receivers: {rx: {sockets: 1, plug: ap.rc}}\nautopilots: {ap: {sockets: 8}}\n"
        "channels: {7: hook}",
        # the plug that asks for the missing socket is the report
        "channels: {9: hook}\nservos: {a: {moves: hook, plug: rx.9}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_says_where_the_count_stands() -> None:
    (finding,) = found(RULE, "channels: {9: hook}")
    assert numbers(finding) == {"sockets of rx": "8 (plan line 4)"}
