"""What can have been seen on the bench: a part, an end, a wire that exist. The thing itself."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.parts.contacts import LinkKind
from harness.reading.problems import PlanError
from harness.wiring.build import Wiring, build

PLAN = """
receivers: {rx: {sockets: 4}}
servos: {s: {plug: y.1}}
leads: {y: {kind: y, plug: rx.1}}
escs: {esc: {plug: rx.2, supply: long.1}}
motors: {m: {plug: esc}}
packs: {main: {chemistry: lipo, cells: 3}}
power-leads: {long: {kind: extension, supply: main}}
wing-plugs: {root: {contacts: 2, plugs: {a: rx.3}, circuits: {a: {positive: 1, negative: 2}}}}
as-found: [{%s}]
"""


@pytest.mark.parametrize(
    ("fact", "word", "right"),
    [
        ("end: y.3, fact: dead", "y.3", "it has y.plug, y.1 and y.2"),
        ("end: esc.1, fact: turned", "esc.1", "it has esc.plug, esc.supply and esc.motor"),
        ("end: y, fact: open", "open", "write `fact: dead`"),
        ("end: y, wire: negative, fact: dead", "negative", "write `fact: open`"),
        ("end: y, wire: negative, fact: turned", "negative", "write `fact: open`"),
        ("end: esc, wire: negative, fact: open", "esc", "say which end: esc.plug or esc.supply"),
        ("end: esc, wire: a, fact: open", "esc", "say which end: esc.motor"),
        ("end: long, wire: signal, fact: open", "signal", "positive, negative"),
        ("end: root.a, wire: signal, fact: open", "signal", "positive, negative"),
        ("end: m, wire: red, fact: open", "red", "a, b, c"),
        ("end: rx, fact: dead", "rx", "name the end that was found so: rx.1"),
        ("end: rx, fact: turned", "rx", "name the end"),
        ("end: z, fact: dead", "z", "can be"),
    ],
)
def test_what_cannot_be_is_refused_where_it_stands(fact: str, word: str, right: str) -> None:
    with pytest.raises(PlanError) as caught:
        plan_of(PLAN % fact)
    (problem,) = caught.value.problems
    line = PLAN.count("\n") + 2
    assert problem.span.line == line
    assert ("as-found: [{" + fact)[problem.span.column - 1 :].startswith(word)
    assert right in problem.help


def missing(fact: str) -> set[tuple[str, str, str]]:
    """The ends (part, port, pin) of the links that are gone, at their first side."""
    whole = build(plan_of(PLAN % "end: y, fact: dead, mended: long ago"))
    left = build(plan_of(PLAN % fact))
    return {tuple(link.a) for link in set(whole.links) - set(left.links)}


@pytest.mark.parametrize(
    ("fact", "gone"),
    [
        ("end: y.1, wire: negative, fact: open", {("s", "plug", "negative")}),
        ("end: s.plug, wire: signal, fact: open", {("s", "plug", "signal")}),
        ("end: long, wire: negative, fact: open", {("long", "in-1", "negative")}),
        ("end: long.1, wire: negative, fact: open", {("esc", "supply", "negative")}),
        ("end: m, wire: b, fact: open", {("m", "plug", "b")}),
        ("end: y.2, fact: dead", set()),
    ],
)
def test_one_wire_or_end_is_open_and_no_other(fact: str, gone: set[tuple[str, str, str]]) -> None:
    assert missing(fact) == gone


def test_a_dead_lead_has_no_contact_by_any_wire() -> None:
    gone = missing("end: y, fact: dead")
    assert {pin for part, _, pin in gone if part == "y"} == {"signal", "positive", "negative"}


@pytest.mark.parametrize("group", ["diodes", "leads"])
def test_a_dead_diode_or_reverser_passes_nothing_on(group: str) -> None:
    kind = {"diodes": "schottky", "leads": "reverser"}[group]
    text = f"receivers: {{rx: {{sockets: 2}}}}\n{group}: {{d: {{kind: {kind}, plug: rx.1}}}}\n"
    wiring: Wiring = build(plan_of(text + "as-found: [{end: d, fact: dead}]\n"))
    kinds = {link.kind for link in wiring.links if link.owner == "d"}
    assert kinds == {LinkKind.MATE}
