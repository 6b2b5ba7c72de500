from __future__ import annotations

import pytest
from control_support import found

from harness.base.finding import Severity

RULE = "wrong-channel"
PILOT = "receivers: {rx: {sockets: 8, plug: ap.rc}}\nautopilots: {ap: {sockets: 8, outputs: %s}}\n"
Y = "leads: {y: {kind: y, plug: rx.1}}\n"
BOX = "sequencers: {box: {outlets: 2, plug: rx.5, power-up: holds}}\n"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("channels: {1: aileron}\nservos: {a: {moves: rudder, plug: rx.1}}", {"a", "rx"}),
        # the one lead is wrong, so both servos make one report
        (
            f"channels: {{1: aileron}}\n{Y}"
            "servos: {a: {moves: flap, plug: y.1}, b: {moves: flap, plug: y.2}}",
            {"a", "b", "rx"},
        ),
        (
            f"channels: {{1: aileron}}\n{Y}"
            "servos: {a: {moves: flap, plug: y.1}, b: {moves: aileron, plug: y.2}}",
            {"a", "rx"},
        ),
        ("channels: {1: aileron}\nretracts: {a: {kind: self-contained, plug: rx.1}}", {"a", "rx"}),
        ("channels: {1: aileron}\nloads: {a: {moves: lights, plug: rx.1}}", {"a", "rx"}),
        (PILOT % "{1: elevator}" + "servos: {a: {moves: rudder, plug: ap.1}}", {"a", "ap"}),
        ("channels: {1: rudder}\n" + BOX.replace("rx.5", "rx.1")
         + "servos: {a: {moves: gear-door, plug: box.1}}", {"a", "rx"}),
    ],
)  # fmt: skip
def test_reports_another_function(text: str, parts: set[str]) -> None:
    (finding,) = found(RULE, text)
    assert set(finding.parts) == parts
    assert finding.severity is Severity.ERROR


def test_an_esc_on_a_stick_is_dangerous() -> None:
    # "puts a stick's centre (half throttle) on the ESC": common practice, no source
    text = "channels: {2: elevator, 3: throttle}\nescs: {esc: {plug: rx.2}}"
    (finding,) = found(RULE, text)
    assert finding.severity is Severity.DANGER
    assert "half throttle" in finding.message
    assert "rx.3" in finding.help


def test_the_side_counts() -> None:
    channels = "channels: {1: aileron-left, 5: aileron-right}\n"
    right = channels + "servos: {aileron-right: {moves: aileron, plug: rx.5}}"
    wrong = channels + "servos: {aileron-right: {moves: aileron, plug: rx.1}}"
    assert found(RULE, right) == []
    (finding,) = found(RULE, wrong)
    assert "works on the right, but rx.1 is aileron-left" in finding.message


@pytest.mark.parametrize(
    ("channel", "moves"),
    [
        ("aileron", "aileron"),
        ("aileron-left", "aileron"),
        ("aileron-2", "aileron"),
        ("flaps", "flap"),
        ("flap", "flap-inner"),
        ("flaperon-left", "aileron"),
        ("elevon", "elevator"),
        ("v-tail-right", "rudder"),
        ("aileron", "flaperon"),
        ("rudder", "steering"),
        ("gear", "gear-door"),
        ("hook", "hook"),
    ],
)
def test_names_that_belong_together(channel: str, moves: str) -> None:
    text = f"channels: {{1: {channel}}}\nservos: {{a: {{moves: {moves}, plug: rx.1}}}}"
    assert found(RULE, text) == []


@pytest.mark.parametrize(
    "text",
    [
        "channels: {1: aileron}\nservos: {a: {plug: rx.1}}",
        "channels: {1: lift-1}\nescs: {a: {plug: rx.1}}",
        "channels: {1: motor}\nescs: {a: {plug: rx.1}}",
        # steering that a sequencer cuts off with the gear
        "channels: {5: gear}\n" + BOX + "servos: {a: {moves: steering, plug: box.1},"
        " b: {moves: gear-door, plug: box.2}}",
        # taken twice, or no such socket: those rules speak
        "channels: {1: aileron}\nservos: {a: {moves: aileron, plug: rx.1},"
        " b: {moves: rudder, plug: rx.1}}",
        "servos: {a: {moves: rudder, plug: rx.1}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


@pytest.mark.parametrize(
    ("channel", "moves", "line"),
    [
        ("elevator", "Höhenruder", "functions: {Höhenruder: elevator}"),
        ("dérive", "rudder", "functions: {dérive: rudder}"),
        ("elevator", "rudder", ""),
        ("gadget", "thing", ""),
    ],
)
def test_a_word_of_another_language_is_told_how_it_gets_its_meaning(
    channel: str, moves: str, line: str
) -> None:
    text = f"channels: {{1: {channel}}}\nservos: {{a: {{moves: {moves}, plug: rx.1}}}}\n"
    (finding,) = found(RULE, text)
    assert ("is no word known here" in finding.help) == bool(line)
    assert line in finding.help
    assert not line or found(RULE, f"{text}{line}\n") == []
