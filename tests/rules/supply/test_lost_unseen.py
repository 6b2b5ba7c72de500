"""Two are there so that one may fail: what was found dead or open of the one is told.

What feeds what is asked of networkx, on a graph of the contacts that knows nothing of the facts of
this program; that a sensor without its data wire or one pole of its tap reads nothing is the thing
itself, no source.
"""

from __future__ import annotations

from itertools import chain

import networkx as nx
import pytest
from support import plan_of, report_of

from harness.base.finding import Finding
from harness.parts.contacts import LinkKind
from harness.wiring.build import build

PACKS = """
receivers: {rx: {sockets: 4, supply-sockets: 3}}
packs:
  a: {chemistry: nimh, cells: 4, plug: one.1}
  b: {chemistry: nimh, cells: 4, plug: two.1}
  main: {chemistry: lipo, cells: 3}
diodes:
  one: {kind: schottky, plug: rx.batt-1}
  two: {kind: schottky, plug: rx.batt-2}
escs:
  esc: {bec: none, isolated: yes, plug: rx.3, supply: main}
servos:
  rudder: {class: 9g-analogue, plug: rx.4}
sensors:
  volts: {plug: rx.1, supply: main.balance}
"""
RULES = {"lost-unseen", "no-source", "stray-return", "signal-without-ground"}
PLACES = [
    "{end: two, fact: dead}",
    "{end: b, fact: dead}",
    "{end: volts.supply, fact: dead}",
    "{end: main.balance, fact: dead}",
    "{end: volts, wire: signal, fact: open}",
    "{end: volts.supply, wire: positive, fact: open}",
    "{end: volts.supply, wire: negative, fact: open}",
    "{end: esc.plug, wire: positive, fact: open}",
    "{end: b.main, wire: positive, fact: open}",
    "{end: b.main, wire: negative, fact: open}",
    *(f"{{end: {end}, fact: dead}}" for end in ("two.1", "two.plug", "b.main", "rx.batt-2")),
    *(
        f"{{end: {end}, wire: {wire}, fact: open}}"
        for end in ("two", "two.1", "two.plug", "rx.batt-2")
        for wire in ("signal", "positive", "negative")
    ),
]


def told(found: str, plan: str = PACKS) -> list[Finding]:
    return [f for f in report_of(f"{plan}as-found: [{found}]\n").findings if f.rule in RULES]


def feeding(found: str) -> set[str]:
    """Which packs reach the receiver and are reached from it, by networkx over the links."""
    wiring = build(plan_of(f"{PACKS}as-found: [{found}]\n" if found else PACKS))
    both = {LinkKind.WIRE, LinkKind.MATE, LinkKind.INSIDE}
    ways = nx.DiGraph(
        chain.from_iterable(((k.a, k.b), (k.b, k.a)) if k.kind in both else ((k.a, k.b),)
                            for k in wiring.links if k.kind in both | {LinkKind.DIODE})
    )  # fmt: skip
    rail = next(c for c in ways if c[:2] == ("rx", "rail") and c.pin == "positive")
    ground = rail._replace(pin="negative")
    return {k.owner for k in wiring.links if k.kind is LinkKind.SOURCE
            and {k.a, k.b} <= set(ways)
            and nx.has_path(ways, k.b, rail) and nx.has_path(ways, ground, k.a)}  # fmt: skip


def test_as_it_was_meant_nothing_is_said() -> None:
    assert [f for f in report_of(PACKS).findings if f.rule == "lost-unseen"] == []
    assert {"a", "b"} <= feeding("")


@pytest.mark.parametrize("found", PLACES)
def test_a_pack_that_no_longer_feeds_is_named_and_what_feeds_alone(found: str) -> None:
    own = [f for f in told(found) if f.rule == "lost-unseen"]
    if "volts" in found or "balance" in found:
        assert len(own) == 1 and "volts" in own[0].parts and "nothing is read" in own[0].message
    elif feeding(found) & {"a", "b"} == {"a"}:
        assert len(own) == 1 and {"b", "rx"} <= set(own[0].parts)
        assert 'pack "a" feeds it alone' in own[0].message
    else:
        assert own == []


def test_two_in_one_lead_are_both_told_and_two_leads_are_an_error() -> None:
    row = told("{end: two.plug, fact: dead}, {end: two.1, fact: dead}")
    assert [f.rule for f in row] == ["lost-unseen"] * 2
    both = told("{end: two.plug, fact: dead}, {end: one.1, fact: dead}")
    assert sorted(f.rule for f in both) == ["lost-unseen", "no-source"]
    assert 'pack "b" feeds it alone once the rest is mended' in " ".join(f.message for f in both)


def test_the_second_lead_of_one_regulator() -> None:
    plan = """
receivers: {rx: {sockets: 4, supply-sockets: 2}}
packs: {main: {chemistry: lipo, cells: 2}}
regulators: {reg: {volts: 5 V, supply: main, plug: [rx.batt-1, rx.batt-2]}}
"""
    for wire in ("positive", "negative"):
        own = told(f"{{end: reg.plug-2, wire: {wire}, fact: open}}", plan)
        assert [f.rule for f in own] == ["lost-unseen"]
        assert "by reg.plug-1 into rx.batt-1 instead" in own[0].message


@pytest.mark.parametrize("box", ["diodes: {x: {kind: ideal, plug: rx.3}}",
                                 "switches: {x: {kind: electronic, plug: rx.3}}"])  # fmt: skip
def test_an_open_ground_inside_whatever_lies_in_a_signal_lead(box: str) -> None:
    """Every signal needs its ground beside it: PX4 documentation."""
    plan = f"""
receivers: {{rx: {{sockets: 4, supply-sockets: 1}}}}
packs: {{main: {{chemistry: lipo, cells: 3}}}}
power-leads: {{split: {{kind: parallel, ways: 2, supply: main}}}}
regulators: {{reg: {{volts: 5 V, supply: split.2, plug: rx.batt}}}}
escs: {{esc: {{bec: none, plug: x.1, supply: split.1}}}}
{box}
"""
    assert "signal-without-ground" in [
        f.rule for f in told("{end: x, wire: negative, fact: open}", plan)
    ]


@pytest.mark.parametrize(
    ("found", "lost"),
    # what is dead itself is "it"; of a diode or a plug the pack behind it is named
    [("{end: b, fact: dead}", "so it can"), ("{end: two, fact: dead}", 'so pack "b" can'),
     ("{end: b.main, fact: dead}", 'so pack "b" can')],
)  # fmt: skip
def test_who_is_lost_is_named_unless_it_is_named_already(found: str, lost: str) -> None:
    (only,) = told(found)
    assert f'{lost} no longer feed receiver "rx"' in only.message
