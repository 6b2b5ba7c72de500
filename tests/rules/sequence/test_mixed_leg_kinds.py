from __future__ import annotations

import pytest
from control_support import found

RULE = "mixed-leg-kinds"
BOX = "sequencers: {box: {outlets: 3, motor-outlets: [2, 3], plug: %s, power-up: holds}}\n"
LEGS = "retracts: {a: {kind: %s, plug: %s}, b: {kind: %s, plug: %s}}\n"
OWN, BARE = "self-contained", "bare-motor"


# "two kinds of leg, which must not be mixed": common practice, no source
@pytest.mark.parametrize(
    "text",
    [
        BOX % "rx.5" + LEGS % (OWN, "box.1", BARE, "box.2"),
        "leads: {y: {kind: y, plug: rx.5}}\n" + BOX % "y.1" + LEGS % (OWN, "y.2", BARE, "box.2"),
    ],
)
def test_both_kinds_on_one_channel_are_reported_once(text: str) -> None:
    (finding,) = found(RULE, text)
    assert finding.parts == ("b", "a")


@pytest.mark.parametrize(
    "text",
    [
        BOX % "rx.5" + LEGS % (BARE, "box.2", BARE, "box.3"),
        BOX % "rx.5" + LEGS % (OWN, "rx.6", BARE, "box.2"),
        # the bare motor sits in a 3-pin socket: that rule speaks
        "leads: {y: {kind: y, plug: rx.5}}\n" + LEGS % (OWN, "y.1", BARE, "y.2"),
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


PILOT = "autopilots: {ap: {sockets: 8}}\n"


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (BOX % "rx.5", "on channel 5,"),
        (PILOT + BOX % "ap.3", "on ap.3,"),
        (BOX.replace("plug: %s, ", ""), "on box,"),
    ],
)
def test_where_they_are_mixed_is_told(text: str, where: str) -> None:
    (finding,) = found(RULE, text + LEGS % (OWN, "box.1", BARE, "box.2"))
    assert finding.message.startswith(where)
