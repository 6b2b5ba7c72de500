"""A stabiliser's outlets and their axes; common practice, no source."""

from __future__ import annotations

import pytest
from control_support import found, missing
from support import rules_of

RULE = "wrong-axis"
CHANNELS = "channels: {1: aileron, 2: elevator, 4: rudder, 5: elevon-left, 6: elevon-right}\n"
RX = "receivers: {rx: {sockets: 8}}\n"


def plan(plugs: str, axes: str, **servos: str) -> str:
    """Lay out a gyro; `servos`: function by outlet."""
    lines = ", ".join(f"s{n}: {{moves: {moves}, plug: g.{outlet}}}"
                      for n, (outlet, moves) in enumerate(servos.items()))  # fmt: skip
    stated = f", axes: {{{axes}}}" if axes else ""
    return (
        f"{CHANNELS}{RX}stabilisers: {{g: {{plugs: {{{plugs}}}{stated}}}}}\nservos: {{{lines}}}\n"
    )


SWAPPED = plan("a: rx.1, b: rx.2", "a: elevator, b: aileron", a="aileron", b="elevator")


@pytest.mark.parametrize(
    ("text", "reported"),
    [
        (plan("a: rx.1, b: rx.2", "a: aileron, b: elevator", a="aileron", b="elevator"), []),
        # the box is set the other way round: stick and surface agree, the gyro does not
        (SWAPPED, ["s0", "s1"]),
        (plan("a: rx.1", "a: rudder", a="aileron"), ["s0"]),
        # outlets called by a function, or by an axis, need no more
        (plan("aileron: rx.1, elevator: rx.2", "", aileron="aileron", elevator="elevator"), []),
        (plan("roll: rx.1, pitch: rx.2", "", roll="aileron", pitch="elevator"), []),
        (plan("aileron: rx.2", "", aileron="elevator"), ["s0"]),
        # the lead of an outlet in another channel: told at the lead, not at the surface
        (plan("a: rx.2", "a: aileron", a="aileron"), ["g"]),
        (plan("aileron: rx.4", ""), ["g"]),
        # what a word nobody knows is steadied for, nobody can say
        (plan("a: rx.7", "a: aileron", a="frobnicator"), []),
        (plan("a: rx.1", "a: frobnicator", a="aileron"), []),
        # mixed surfaces: by their own name, or all for the same stick
        (plan("a: rx.5, b: rx.6", "a: elevon, b: elevon", a="elevon-left", b="elevon-right"), []),
        (plan("a: rx.5, b: rx.6", "a: aileron, b: aileron", a="elevon-left", b="elevon-right"), []),
        (plan("a: rx.5, b: rx.6", "a: aileron, b: elevator", a="elevon-left", b="elevon-right"),
         ["s0", "s1"]),
        # a box that mixes: elevons out, aileron and elevator in
        (plan("a: rx.1, b: rx.2", "a: elevon, b: elevon", a="elevon", b="elevon"), []),
    ],
)  # fmt: skip
def test_every_outlet_against_its_axis(text: str, reported: list[str]) -> None:
    assert [finding.parts[0] for finding in found(RULE, text)] == reported


def test_one_report_for_a_lead_in_another_channel() -> None:
    """The surface is right on its outlet: it is not told of a second time."""
    text = plan("a: rx.2", "a: aileron", a="aileron")
    assert [rule for rule in rules_of(text) if rule in {RULE, "wrong-channel"}] == [RULE]


def test_a_surface_that_agrees_with_neither_is_on_a_wrong_channel() -> None:
    text = plan("a: rx.1", "a: aileron", a="elevator")
    assert [rule for rule in rules_of(text) if rule in {RULE, "wrong-channel"}] == ["wrong-channel"]


def test_an_axis_nobody_told_is_asked_for_where_a_surface_hangs() -> None:
    (gap,) = missing(RULE, plan("a: rx.1, b: rx.2", "", a="aileron"))
    assert (gap.part, gap.missing) == ("g", "what outlet a is steadied for (axes)")


def test_the_help_names_where_to() -> None:
    (one,) = found(RULE, plan("a: rx.2, b: rx.4", "a: aileron, b: rudder", a="aileron", b="rudder"))
    assert "rx.1" in one.help
    assert "g.b" in found(RULE, SWAPPED)[0].help
