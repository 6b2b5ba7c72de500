"""Gauges, lengths and packs named are those with which the fault is gone when all is solved again.

Nothing here knows a figure of ours: what a message names is written into the plan and checked.
"""

from __future__ import annotations

import re

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
channels: {{3: {{function: throttle, failsafe: off}}}}
receivers: {{rx: {{sockets: 4, supply: 5 V}}}}
escs:
  esc: {{rated: 80 A, cells-max: 6, cut-off: 3.2 V, bec: none, connector: {plug}, wire: {wire},
    length: {length}, plug: {{into: rx.3, pulled: positive}}, supply: main}}
motors:
  motor: {{full-throttle: {amps}, plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: {held}, rate: 40 C, connector: {plug}, wire: 14 AWG,
    length: 100 mm{cells}}}
  radio: {{chemistry: nimh, cells: 4, capacity: 2 Ah, plug: rx.batt}}
"""
SOUND = {"plug": "XT90", "wire": "10 AWG", "length": "100 mm", "amps": "25 A", "held": "4 Ah",
         "cells": ""}  # fmt: skip


def told(**words: str) -> dict[str, Finding]:
    text = PLAN.replace(", supply: 5 V", "").format(**{**SOUND, **words})
    findings = report_of(text).findings
    return {f.rule: f for f in findings if f.severity >= Severity.WARNING}


def test_the_plan_is_sound() -> None:
    assert not set(told()) & {"wire-load", "esc-cuts-off", "supply-breaks-down", "pack-load"}


def test_what_then_becomes_too_thin_is_named_with_it() -> None:
    """28 AWG throttles the motor: once it is thicker, the pack's 14 AWG carries it all."""
    help_ = told(wire="28 AWG", amps="45 A")["wire-load"].help
    assert re.match(r'use (\d+ AWG) or thicker for ESC "esc" and pack "main"$', help_)
    gauge = help_.split(" or ")[0].removeprefix("use ")
    after = told(wire=gauge, amps="45 A")
    assert after["wire-load"].parts == ("main",)  # the ESC alone is not enough


def test_a_thin_wire_is_told_its_gauge_whatever_its_other_plugs_take() -> None:
    """The 3-pin plug of its signal lead takes no thick wire, and has none."""
    help_ = told(wire="28 AWG", amps="20 A")["wire-load"].help
    gauge = re.match(r"use (\d+ AWG) or thicker$", help_)
    assert gauge and "wire-load" not in told(wire=gauge[1], amps="20 A")


def test_a_gauge_that_the_plug_does_not_take_comes_with_plugs() -> None:
    help_ = told(plug="XT30", wire="16 AWG", amps="34 A", held="8 Ah")["wire-load"].help
    assert re.match(r"use \d+ AWG or thicker.*, with [\w-]+ or [\w-]+ at its ends and", help_)


@pytest.mark.parametrize("rule", ["supply-breaks-down", "pack-load"])
def test_a_pack_is_told_its_size(rule: str) -> None:
    words = {"cells": ", cell-resistance: 60 mohm"} if rule[0] == "s" else {"held": "0.6 Ah"}
    found = re.search(
        r"take a pack of ([\d.]+ Ah) or more(?: with ([\d.]+ mohm) a cell or less)?",
        told(**words)[rule].help,
    )
    assert found
    ohms = f", cell-resistance: {found[2]}" if found[2] else ""
    assert rule not in told(held=found[1], cells=ohms)
