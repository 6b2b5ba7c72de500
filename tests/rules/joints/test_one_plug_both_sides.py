from __future__ import annotations

import pytest
from control_support import found

from harness.base.finding import Severity

RULE = "one-plug-both-sides"
PLUG = """
wing-plugs:
  root:
    contacts: 6
    circuits:
      a: {signal: 1, positive: 2, negative: 3}
      b: {signal: 4, positive: %s, negative: %s}
    plugs: {a: rx.1, b: rx.2}
"""
PAIR = "servos: {s-left: {moves: %s, plug: %s}, s-right: {moves: %s, plug: %s}}\n"


def plan(moves: str, left: str, right: str, positive: int = 5, negative: int = 6) -> str:
    return PAIR % (moves, left, moves, right) + PLUG % (positive, negative)


# "ailerons of both sides on one plug is one point of failure": common practice, no source
@pytest.mark.parametrize("moves", ["aileron", "elevator", "v-tail", "elevon"])
def test_both_sides_in_one_plug_are_reported(moves: str) -> None:
    (finding,) = found(RULE, plan(moves, "root.a", "root.b"))
    assert finding.parts == ("root", "s-left", "s-right")
    assert "carr" not in finding.message


@pytest.mark.parametrize(
    ("positive", "negative", "words"),
    [(5, 3, "contact 3 carries both sides"), (2, 3, "contacts 2 and 3 carry both sides")],
)
def test_a_contact_for_both_is_named(positive: int, negative: int, words: str) -> None:
    (finding,) = found(RULE, plan("aileron", "root.a", "root.b", positive, negative))
    assert words in finding.message


def test_a_y_lead_in_the_wing_is_one_circuit() -> None:
    text = plan("aileron", "y.1", "y.2") + "leads: {y: {kind: y, plug: root.a}}"
    (finding,) = found(RULE, text)
    assert "contacts 1, 2 and 3 carry both sides" in finding.message


def test_a_worn_plug_is_an_error() -> None:
    text = plan("aileron", "root.a", "root.b") + "as-found: [{end: root, fact: worn%s}]"
    assert found(RULE, text % "")[0].severity is Severity.ERROR
    assert found(RULE, text % ", mended: new contacts")[0].severity is Severity.WARNING


@pytest.mark.parametrize(
    "text",
    [
        plan("flap", "root.a", "root.b"),
        plan("aileron", "root.a", "rx.5"),
        plan("aileron", "rx.5", "rx.6"),
        "servos: {s-left: {moves: aileron, plug: root.a},"
        " s-right: {moves: aileron, plug: rx.5}, t-left: {moves: aileron, plug: root.b}}"
        + PLUG
        % (5, 6),
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


@pytest.mark.parametrize(
    ("plugs", "count"),
    [
        (("root.a", "root.b"), 1),
        (("root.a", "root.b", "rx.5"), 0),
        (("root.a", "rx.5"), 0),
        (("root.a",), 0),
    ],
)
def test_surfaces_without_a_side_are_lost_where_all_of_them_are(
    plugs: tuple[str, ...], count: int
) -> None:
    """Two rudders through one plug: nothing is left to steer by. One of two is left."""
    servos = ", ".join(f"s{n}: {{moves: rudder, plug: {p}}}" for n, p in enumerate(plugs))
    text = f"servos: {{{servos}}}\n" + PLUG % (5, 6)
    assert len(found(RULE, text)) == count
