"""A part on one side that moves a surface of the other; common practice, no source."""

from __future__ import annotations

import pytest
from control_support import found, missing, whole
from support import rules_of

RULE = "wrong-side"
HEAD = """
channels: {1: aileron-left, 5: aileron-right}
places: {body: {}, left: {joins: body, side: left}, right: {joins: body, side: right}}
servos: {%s}
"""


@pytest.mark.parametrize(
    ("servos", "reported"),
    [
        ("a: {place: left, moves: aileron-left, plug: rx.1}", []),
        ("a: {place: left, moves: aileron-right, plug: rx.5}", ["a"]),
        ("a: {place: right, moves: aileron-left, plug: rx.5}", ["a"]),
        # no side in the word, none in the place: nothing to judge
        ("a: {place: left, moves: aileron, plug: rx.1}, b: {place: body, moves: aileron-right,"
         " plug: rx.5}", []),
        # without places the id tells
        ("aileron-left: {moves: aileron-right, plug: rx.5}", ["aileron-left"]),
        # the place outranks the id: the word agrees with where it sits
        ("x-left: {place: right, moves: aileron-right, plug: rx.5}", []),
    ],
)  # fmt: skip
def test_places_against_words(servos: str, reported: list[str]) -> None:
    assert [finding.parts[0] for finding in found(RULE, HEAD % servos)] == reported


def test_no_plug_is_sent_where_the_wrong_word_would_have_it() -> None:
    """Left and right exchanged in the words: with the plugs right nothing else is told."""
    text = HEAD % (
        "a: {place: left, moves: aileron-right, plug: rx.1},"
        " b: {place: right, moves: aileron-left, plug: rx.5}"
    )
    assert [r for r in rules_of(whole(text)) if r in {RULE, "wrong-channel"}] == [RULE, RULE]
    assert not any("plug" in finding.help for finding in found(RULE, text))


def test_what_is_mirrored_is_told_once() -> None:
    text = """
channels: {1: aileron-left, 5: aileron-right}
receivers: {rx: {sockets: 8}}
places:
  body: {}
  wing-left:
    joins: body
    side: left
    mirrored: yes
    servos: {aileron-left: {moves: aileron-right, plug: rx.5, mirrored: {plug: rx.1}}}
"""
    assert len(found(RULE, text)) == 1


def test_a_word_that_may_be_a_side_is_asked_for() -> None:
    """aileron-links on the left: until the plan says what links is, nobody can judge it."""
    text = HEAD % "a: {place: left, moves: aileron-links, plug: rx.1}"
    (asked,) = missing(RULE, text)
    assert (asked.part, 'whether "links" is a word for a side' in asked.missing) == ("a", True)
    cured = "functions: {links: {side: left}}" + text
    assert missing(RULE, cured) == found(RULE, cured) == []
    assert found(RULE, cured.replace("side: left}}", "side: right}}", 1)) != []


@pytest.mark.parametrize(
    "servo",
    [
        "a: {place: left, moves: flap-inner, plug: rx.6}",  # a word of place
        "a: {place: body, moves: aileron-links, plug: rx.1}",  # no side to compare it with
        "a: {place: left, moves: aileron-links-left, plug: rx.1}",  # its side is told
    ],
)
def test_words_that_need_no_asking(servo: str) -> None:
    assert missing(RULE, HEAD % servo) == []
