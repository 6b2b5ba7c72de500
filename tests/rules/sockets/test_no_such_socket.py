from __future__ import annotations

import pytest
from control_support import found

RULE = "no-such-socket"
BOX = "sequencers: {box: {outlets: [doors, legs], plug: rx.5, power-up: holds}}\n"


@pytest.mark.parametrize(
    ("text", "words", "help_"),
    [
        ("servos: {a: {plug: rx.9}}", 'receiver "rx" has no socket "9"', "plug it into rx.1, rx.2"),
        ("servos: {a: {plug: rx}}", "the plan does not say which", "plug it into rx.1, rx.2"),
        (BOX + "servos: {a: {plug: box.door}}", 'has no socket "door"', '"box.doors"?'),
        ("servos: {a: {plug: b}, b: {plug: rx.1}}", 'servo "b" has no socket', "name the part"),
        ("servos: {a: {plug: b.plug}, b: {plug: rx.1}}", 'servo "b" has no socket', "name the"),
    ],
)
def test_reports_the_plug(text: str, words: str, help_: str) -> None:
    (finding,) = found(RULE, text)
    assert words in finding.message
    assert help_ in finding.help
    assert finding.parts[0] == "a"


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {plug: rx.8}}",
        "servos: {a: {plug: e}}\nleads: {e: {kind: extension, plug: rx.1}}",
        "receivers: {rx: {sockets: [ail, ele]}}\nservos: {a: {plug: rx.ail}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_says_when_all_sockets_are_taken() -> None:
    text = "receivers: {rx: {sockets: 1, supply-sockets: 0}}\n"
    (finding,) = found(RULE, text + "servos: {a: {plug: rx.1}, b: {plug: rx.2}}")
    assert finding.help.startswith("no free channel is for it")
