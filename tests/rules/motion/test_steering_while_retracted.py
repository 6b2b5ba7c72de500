from __future__ import annotations

import pytest
from control_support import found, missing
from support import plan_of

from harness.documents.transmitter.rows import mixes_of

RULE = "steering-while-retracted"
LEG = "retracts: {leg: {kind: self-contained, plug: rx.5%s}}\n"
STEERED = LEG % ", steered-by: wheel"
SHARED = (
    "servos: {rudder: {moves: rudder, plug: y.1}, wheel: {moves: steering, plug: y.2}}\n"
    "leads: {y: {kind: y, plug: rx.4}}\n"
)
OWN = "servos: {wheel: {moves: steering, plug: rx.7}}\nchannels: {7: steering}\n"
LOCK = LEG % ", steered-by: wheel, steering-lock: yes"


# "a Y with rudder unless the leg retracts, when it must be locked or it jams in the bay":
# common practice, no source
@pytest.mark.parametrize(
    "text",
    [
        SHARED + STEERED,
        # the rudder's own servo steers, or the wheel sits alone on the rudder's channel
        "channels: {4: rudder}\nservos: {wheel: {moves: rudder, plug: rx.4}}\n" + STEERED,
        "channels: {4: rudder}\nservos: {wheel: {moves: steering, plug: rx.4}}\n" + STEERED,
        SHARED + LEG % ", steered-by: wheel, steering-lock: no",
    ],
)
def test_steering_with_the_rudder_is_reported(text: str) -> None:
    (finding,) = found(RULE, text)
    assert finding.parts[:2] == ("wheel", "leg")


MIXED = LEG % ", steered-by: wheel, steering-lock: transmitter"


def test_a_mix_that_would_cut_another_surface_off_is_reported() -> None:
    (finding,) = found(RULE, SHARED + MIXED)
    assert finding.parts == ("wheel", "leg", "rudder")
    assert "cut off in flight" in finding.message


@pytest.mark.parametrize(("lock", "mixes"), [(LOCK, 0), (MIXED, 1), (STEERED, 0)])
def test_only_a_lock_at_the_transmitter_is_a_mix_of_its_sheet(lock: str, mixes: int) -> None:
    plan = plan_of("receivers: {rx: {sockets: 8}}\n" + OWN + lock)
    assert len(mixes_of(plan)) == mixes


@pytest.mark.parametrize("text", [SHARED + LOCK, OWN + LOCK, OWN + MIXED, SHARED])
def test_a_lock_or_a_fixed_leg_is_right(text: str) -> None:
    assert found(RULE, text) == []
    assert missing(RULE, text) == []


@pytest.mark.parametrize("text", [OWN + STEERED, SHARED + LEG % ""])
def test_what_the_plan_does_not_say_is_not_known(text: str) -> None:
    assert found(RULE, text) == []
    assert len(missing(RULE, text)) == 1
