from __future__ import annotations

import pytest
from control_support import found

RULE = "socket-used-twice"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("servos: {a: {plug: rx.1}, b: {plug: rx.1}}", '"a" and "b" both go into rx.1'),
        (
            "servos: {a: {plug: rx.1}, b: {plug: rx.1}, c: {plug: rx.1}}",
            '"a", "b" and "c" all go into rx.1',
        ),
        (
            "servos: {a: {plug: y.2}, b: {plug: y.2}}\nleads: {y: {kind: y, plug: rx.1}}",
            '"a" and "b" both go into y.2',
        ),
    ],
)
def test_reports_the_socket_once(text: str, words: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.message


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {plug: rx.1}, b: {plug: rx.2}}",
        "servos: {a: {plug: y.1}, b: {plug: y.2}}\nleads: {y: {kind: y, plug: rx.1}}",
        # two plugs that name a socket that is not there, and a two-wire leg: other rules speak
        "servos: {a: {plug: rx.9}, b: {plug: rx.9}}",
        "servos: {a: {plug: rx.1}}\nretracts: {b: {kind: bare-motor, plug: rx.1}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_the_mark_sits_on_the_socket_and_free_ones_are_named() -> None:
    text = "receivers: {rx: {sockets: 4}}\nservos: {a: {plug: rx.1}, b: {plug: rx.1}}"
    (finding,) = found(RULE, text)
    assert (finding.parts[0], finding.spot) == ("rx", "1")
    assert finding.help == 'plug servo "b" into rx.2, rx.3 or rx.4'
