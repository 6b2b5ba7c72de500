"""Every signal needs its ground beside it: PX4 documentation."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding

RX = "receivers:\n  rx: {sockets: 6}\npacks:\n  radio: {chemistry: nimh, cells: 4, plug: rx.batt}\n"
ESC = "escs:\n  esc: {bec: none, plug: {into: %s, pulled: [%s]}}\n"
LEAD = "leads:\n  long: {kind: %s, plug: {into: rx.3, pulled: [%s]}%s}\n"
WING = """
servos:
  flap: {class: 9g-analogue, moves: flap, plug: root.flap}
wing-plugs:
  root: {contacts: 6, plugs: {flap: rx.5}, circuits: {flap: {signal: 1, positive: 2%s}}}
"""


def told(text: str) -> list[Finding]:
    return [f for f in report_of(RX + text).findings if f.rule == "signal-without-ground"]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        (ESC % ("rx.3", "negative"), ("esc",)),
        (ESC % ("rx.3", "positive, negative"), ("esc",)),
        (ESC % ("long.1", "positive") + LEAD % ("extension", "negative", ""), ("long", "esc")),
        (
            ESC % ("long.1", "positive")
            + LEAD % ("custom", "positive", ", ends: {plug: [WH, RD, BK], '1': [WH, RD, BN]}"),
            ("long", "esc"),
        ),
        (WING % "", ("root", "flap")),
    ],
)
def test_the_break_is_told_once(text: str, parts: tuple[str, ...]) -> None:
    assert [f.parts for f in told(text)] == [parts]


@pytest.mark.parametrize(
    "text",
    [
        ESC % ("rx.3", "positive"),
        # no signal, no need of its ground
        ESC % ("rx.3", "signal, negative"),
        ESC % ("long.1", "positive") + LEAD % ("reverser", "positive", ""),
        WING % ", negative: 3",
    ],
)
def test_signal_and_ground_together(text: str) -> None:
    assert told(text) == []


def test_all_beyond_one_break_are_named() -> None:
    text = """
escs:
  left: {bec: none, plug: y.1}
  right: {bec: none, plug: y.2}
leads:
  y: {kind: y, plug: {into: rx.1, pulled: negative}}
"""
    assert [f.parts for f in told(text)] == [("y", "left", "right")]


def test_servos_without_a_ground_have_no_supply_and_that_is_told_instead() -> None:
    text = """
servos:
  left: {class: 9g-analogue, moves: aileron, plug: y.1}
  right: {class: 9g-analogue, moves: aileron, plug: y.2}
leads:
  y: {kind: y, plug: {into: rx.1, pulled: negative}}
"""
    assert told(text) == []
    (only,) = [f for f in report_of(RX + text).findings if f.rule == "no-source"]
    assert only.parts == ("y", "left", "right")


@pytest.mark.parametrize(
    ("found", "parts"),
    [
        ("end: y", ("y", "left", "right")),
        ("end: right.plug", ("right",)),
        ("end: y.1", ("y", "left")),
    ],
)
def test_what_was_found_open_is_told_where_that_is_written(
    found: str, parts: tuple[str, ...]
) -> None:
    text = f"""
escs:
  left: {{bec: none, plug: y.1}}
  right: {{bec: none, plug: {{into: y.2, pulled: positive}}}}
leads:
  y: {{kind: y, plug: rx.1}}
as-found:
  - {{{found}, wire: negative, fact: open}}
"""
    (only,) = told(text)
    assert only.parts == parts
    assert "was found open" in only.message
    assert "pulled" not in only.message + only.help
    assert only.span.line == (RX + text).count("\n") + 2
