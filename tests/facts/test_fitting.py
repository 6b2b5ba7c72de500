"""A joint whose plug and wires are both too weak is told one cure: followed, both are gone.

Which class bears what is common practice, no source; here only that the messages agree, and that a
plan mended to their letter is sound.
"""

from __future__ import annotations

import re

import pytest
from support import report_of

from harness.base.finding import Finding

JOINT = {"plug-load", "wire-load", "wire-too-thick", "connectors-differ"}
PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, connector: {plug}, wire: {wire}, length: 50 mm, supply: {at}}}
motors:
  m: {{full-throttle: {amps} A, full-throttle-volts: 12.6 V, plug: esc}}
power-leads:
  arming: {{kind: arming, connector: {plug}, wire: {wire}, length: 60 mm, supply: main}}
  y: {{kind: parallel, ways: 2, connector: {plug}, wire: {wire}, length: 60 mm, {split}supply: arming}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 90 C, connector: {plug}, wire: {wire},
    length: 80 mm}}
"""  # noqa: E501
REGULATOR = """
receivers:
  rx: {{sockets: 4}}
regulators:
  reg: {{kind: switching, volts: 5 V, rated: 5 A, burst: 8 A, connector: {plug}, supply: y.2,
    plug: rx.1}}
"""


def told(text: str) -> dict[str, Finding]:
    return {f.rule: f for f in report_of(text).findings if f.rule in JOINT}


def plan(plug: str, wire: str, amps: int, at: str = "y.1", split: str = "", more: str = "") -> str:
    return (PLAN + more).format(plug=plug, wire=wire, amps=amps, at=at, split=split)


def at_y(text: str) -> str:
    """What is said of the ESC's plug in the first end of the parallel lead."""
    found = [f for f in report_of(text).findings if f.rule == "plug-load"]
    return next(f.help for f in found if "of esc in y.1" in f.message)


def classes(words: str) -> list[str]:
    return re.findall(r"[\w.-]+", re.sub(r"\b(?:fit|with|or|and|on|both|sides)\b", " ", words))


@pytest.mark.parametrize("wire", ["14 AWG", "12 AWG", "10 AWG", "8 AWG"])
@pytest.mark.parametrize("amps", [45, 62, 74, 90, 110, 140])
@pytest.mark.parametrize("plug", ["XT60", "XT90", "bullet-4mm"])
def test_plug_and_wire_are_told_one_cure(plug: str, wire: str, amps: int) -> None:
    found = told(plan(plug, wire, amps, at="arming"))
    offered, gauge = [plug], wire
    if heavy := found.get("plug-load"):
        offered = classes(heavy.help.removesuffix(" on both sides"))
    elif thick := found.get("wire-too-thick"):
        offered = classes(thick.help.split("fit ")[1].split(" on both")[0].split(" at all")[0])
    if thin := found.get("wire-load"):
        gauge, _, plugs = re.fullmatch(
            r"use (\S+ AWG) or thicker(?: for .*?)?(, with (.*) at its ends and what .*)?",
            thin.help,
        ).groups()  # type: ignore[union-attr]
        assert not plugs or classes(plugs) == offered[:2]
    for name in offered:
        after = told(plan(name, gauge, amps, at="arming"))
        assert after == {}, (name, gauge, [f.message for f in after.values()])


def test_what_shares_a_key_is_named_with_it() -> None:
    """One key is the class of all sockets of a lead: the regulator's plug has to change as well."""
    text = plan("XT60", "10 AWG", 50, split="split: plug, ", more=REGULATOR)
    help_ = at_y(text)
    assert help_.endswith(" on both sides, and on those of reg into y.2")
    for name in classes(help_.split(" on both")[0]):
        after = told(plan(name, "10 AWG", 50, split="split: plug, ", more=REGULATOR))
        assert "plug-load" not in after and "connectors-differ" not in after
    esc_alone = text.replace("esc: {rated: 200 A, bec: none, connector: XT60",
                             "esc: {rated: 200 A, bec: none, connector: XT90")  # fmt: skip
    assert "connectors-differ" in told(esc_alone)


def test_what_came_fitted_is_not_exchanged() -> None:
    text = plan("XT60", "10 AWG", 50, more=REGULATOR).replace("reg: {", "reg: {fitted: yes, ")
    assert at_y(text) == "share the current out"


def test_a_split_that_is_unsaid_is_asked_for_before_plugs_for_thick_wire() -> None:
    """Two motors on one lead: each branch carries half, once the plan says where its wires part."""
    twin = """
escs:
  a: {rated: 90 A, bec: none, connector: EC5, wire: 8 AWG, length: 50 mm, supply: y.1}
  b: {like: a, supply: y.2}
motors:
  m: {full-throttle: 62 A, full-throttle-volts: 12.6 V, plug: a}
  n: {like: m, plug: b}
power-leads:
  y: {kind: parallel, ways: 2, connector-in: bullet-10mm, connector: EC5, wire: %s, length: 60 mm,
    %ssupply: {into: main, poles: straight}}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 90 C, connector: bullet-10mm, wire: 4 AWG,
    length: 80 mm}
"""
    help_ = told(twin % ("4 AWG", ""))["wire-too-thick"].help
    ways = help_.split("; else ")
    assert ways[0] == (
        "if each of its ends has wires of its own from the plug on, write `split: plug` and use"
        " 8 AWG wire"
    )
    assert told(twin % ("8 AWG", "split: plug, ")) == {}
    thin = told(twin % ("8 AWG", ""))["wire-load"].help
    assert thin.startswith(ways[0].removesuffix(" and use 8 AWG wire"))
