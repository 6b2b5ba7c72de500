"""Every kind of part that is fed, each pole, each kind of open place: no supply, no function.

That nothing works without both poles is the thing itself, no source.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

RX = """
receivers: {rx: {sockets: 8, telemetry: 8}}
packs:
  radio: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: rx.batt}
  main: {chemistry: lipo, cells: 3, capacity: 3 Ah}
"""
KINDS = {
    "servo": ("servos: {x: {class: 9g-analogue, moves: rudder, plug: %s}}", "plug", "rx.4"),
    "leg": ("retracts: {x: {kind: self-contained, plug: %s}}", "plug", "rx.5"),
    "sequencer": ("sequencers: {x: {plug: %s, outlets: [a]}}", "plug", "rx.5"),
    "stabiliser": ("stabilisers: {x: {plugs: {a: %s}}}", "plug-a", "rx.1"),
    "autopilot": (
        "autopilots: {x: {sockets: 4}}\nleads: {l: {kind: extension, plug: rx.6}}\n"
        "regulators: {own: {volts: 5 V, supply: main, plug: %s}}",
        "power",
        "x.power",
    ),
    "load": ("loads: {x: {current: 1 A, plug: %s}}", "plug", "rx.7"),
    "lamp": ("loads: {x: {current: 1 A, supply: %s}}", "supply", "main"),
    "sensor": ("sensors: {x: {plug: %s, current: 20 mA}}", "plug", "rx.8"),
    "esc": ("escs: {x: {bec: none, isolated: yes, plug: rx.3, supply: %s}}", "supply", "main"),
    "opto": (
        "escs: {x: {bec: none, isolated: yes, fed: yes, plug: %s, supply: main}}",
        "plug",
        "rx.3",
    ),
    "regulator": ("regulators: {x: {volts: 6 V, isolated: yes, supply: %s}}", "supply", "main"),
    "second": (
        "regulators:\n  first: {volts: 9 V, supply: main}\n"
        "  x: {volts: 6 V, isolated: yes, supply: %s}",
        "supply",
        "first.out",
    ),
}  # fmt: skip
POLES = ("positive", "negative")
OPEN = {
    "pulled": ("{into: %s, pulled: %s}", ""),
    "its own end": ("%s", "as-found: [{end: %s, wire: %s, fact: open}]\n"),
    "the other end": ("%s", "as-found: [{end: %s, wire: %s, fact: open}]\n"),
    "dead end": ("%s", "as-found: [{end: %s, fact: dead}]\n"),
}
RULES = {"no-source", "esc-needs-feed", "stray-return", "signal-without-ground", "pulled-signal"}


def told(text: str) -> list[Finding]:
    return [f for f in report_of(RX + text).findings if f.rule in RULES]


@pytest.mark.parametrize("kind", KINDS)
def test_whole_it_is_fed(kind: str) -> None:
    text, _, into = KINDS[kind]
    assert told(text % into) == []


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("pole", POLES)
@pytest.mark.parametrize("how", OPEN)
def test_each_pole_at_each_place_is_told_once_and_there(kind: str, pole: str, how: str) -> None:
    text, port, into = KINDS[kind]
    join, fact = OPEN[how]
    socket = {"main": "main.main"}.get(into, into)
    end = {"its own end": f"x.{port}", "the other end": socket, "dead end": f"x.{port}"}
    join = join % ((into, pole) if how == "pulled" else (into,))
    if fact:
        fact = fact % ((end[how], pole) if "%s, wire" in fact else (end[how],))
    (only,) = told(text % join + "\n" + fact)
    assert only.rule == ("esc-needs-feed" if kind == "opto" and how != "dead end" else "no-source")
    assert only.severity is Severity.ERROR
    assert "x" in only.parts
    whole = ("plan: 1\naircraft: Test\n" + RX + text % join + "\n" + fact).split("\n")
    line = whole[only.span.line - 1]
    assert line[only.span.column - 1 :].startswith(pole if how == "pulled" else "{end:")


LISTENING = {
    "servo": "servos: {x: {class: 9g-analogue, moves: rudder, plug: %s}}",
    "like": "servos: {w: {class: 9g-analogue, moves: rudder, plug: rx.2}, x: {like: w, plug: %s}}",
    "leg": "retracts: {x: {kind: self-contained, plug: %s}}",
    "esc": "escs: {x: {bec: none, isolated: yes, plug: %s, supply: main}}",
    "sequencer": "sequencers: {x: {plug: %s, outlets: [a]}}",
}  # fmt: skip


ENDS = [(kind, end) for kind in LISTENING for end in ("x", "x.plug", "rx.4", "")]


@pytest.mark.parametrize(("kind", "end"), [one for one in ENDS if one != ("sequencer", "x")])
def test_a_part_hears_nothing_by_a_signal_wire_that_is_open(kind: str, end: str) -> None:
    """Its own wire, either end of it, or the pin. A sequencer has several: name one."""
    text, fact = LISTENING[kind], f"\nas-found: [{{end: {end}, wire: signal, fact: open}}]\n"
    assert told(text % "rx.4") == []
    (only,) = told(text % "rx.4" + fact if end else text % "{into: rx.4, pulled: signal}")
    assert (only.rule, only.severity) == ("pulled-signal", Severity.ERROR)
    assert "x" in only.parts


BARE = """
sequencers: {s: {plug: rx.5, outlets: [o], motor-outlets: [o]}}
leads: {l: {kind: extension, plug: s.o}}
retracts: {x: {kind: bare-motor, plug: %s}}
"""


@pytest.mark.parametrize("into", ["s.o", "l.1"])
@pytest.mark.parametrize("pole", POLES)
@pytest.mark.parametrize("end", ["x", "x.plug", "into", "s.o", ""])
def test_a_bare_motor_leg_needs_both_its_wires(into: str, pole: str, end: str) -> None:
    where = into if end == "into" else end
    fact = f"as-found: [{{end: {where}, wire: {pole}, fact: open}}]\n"
    assert told(BARE % into) == []
    (only,) = told(BARE % into + fact if end else BARE % f"{{into: {into}, pulled: {pole}}}")
    assert (only.rule, only.severity) == ("no-source", Severity.ERROR)
    assert "x" in only.parts


CHAIN = """
receivers: {rx: {sockets: 4}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 3 Ah}}
fuses: {fuse: {rated: 10 A, supply: main}}
power-leads:
  ext: {kind: extension, supply: fuse.1}
  arm: {kind: arming, supply: ext.1}
regulators:
  first: {volts: 9 V, supply: arm.1}
  last: {volts: 5 V, supply: first.out, plug: switch.1}
switches: {switch: {kind: electronic, plug: guard.1}}
diodes: {guard: {kind: schottky, plug: rx.batt}}
servos: {rudder: {class: 9g-analogue, moves: rudder, plug: rx.4}}
"""


def no_source(text: str) -> list[Finding]:
    return [f for f in report_of(text).findings if f.rule == "no-source"]


@pytest.mark.parametrize(
    ("end", "dead"),
    [
        ("fuse", ("first", "last", "rx", "rudder")),
        ("ext", ("first", "last", "rx", "rudder")),
        ("arm.1", ("first", "last", "rx", "rudder")),
        ("first.out", ("last", "rx", "rudder")),
        ("switch", ("rx", "rudder")),
        ("guard", ("rx", "rudder")),
        ("guard.plug", ("rx", "rudder")),
        ("rudder", ()),
    ],
)
def test_all_that_goes_dead_is_in_the_one_finding(end: str, dead: tuple[str, ...]) -> None:
    assert no_source(CHAIN) == []
    (only,) = no_source(CHAIN + f"as-found: [{{end: {end}, fact: dead}}]\n")
    part = end.partition(".")[0]
    assert set(only.parts) == {part, "rudder", *dead}
    assert only.span.line == CHAIN.count("\n") + 3
    assert no_source(CHAIN + f"as-found: [{{end: {end}, fact: dead, mended: soldered}}]\n") == []


def test_several_in_a_row_are_all_named() -> None:
    facts = "as-found: [{end: fuse, fact: dead}, {end: ext, wire: negative, fact: open}]\n"
    (only,) = no_source(CHAIN + facts)
    assert 'fuse "fuse" was found dead and the black wire of power lead "ext"' in only.message
    assert [note for _, note in only.also] == ['the black wire of power lead "ext" was found open']


def test_of_two_faults_each_is_told_with_its_own() -> None:
    facts = "as-found: [{end: rudder, fact: dead}, {end: first, wire: positive, fact: open}]\n"
    facts = facts.replace("{end: first,", "{end: first.supply,")
    assert [set(f.parts) for f in no_source(CHAIN + facts)] == [{"rudder"}, {"first", "last", "rx"}]


def test_a_supply_of_too_few_volts_gives_nothing() -> None:
    """A linear supply needs some volts above its output; from 1.2 V minus that there is nothing."""
    text = CHAIN.replace("chemistry: lipo, cells: 3", "chemistry: nimh, cells: 1")
    text = text.replace("{volts: 9 V,", "{kind: linear, volts: 9 V,")
    assert {part for f in no_source(text) for part in f.parts} >= {"rx", "rudder"}


@pytest.mark.parametrize(
    "text",
    [
        # the second BEC's red pin pulled, as it should be
        "escs:\n  a: {bec: {volts: 5 V}, plug: rx.3, supply: main}\n"
        "  b: {like: a, plug: {into: rx.4, pulled: positive}, supply: other}\n",
        # a sequencer with its own supply, its red pin pulled
        "escs: {a: {bec: {volts: 5 V}, plug: rx.3, supply: main}}\n"
        "sequencers: {s: {plug: {into: rx.5, pulled: positive}, supply: r.out, outlets: [o]}}\n"
        "regulators: {r: {volts: 5 V, supply: other}}\n",
    ],
)
def test_a_pin_that_is_pulled_on_purpose_is_no_fault(text: str) -> None:
    packs = "packs:\n  main: {chemistry: lipo, cells: 3}\n  other: {chemistry: lipo, cells: 3}\n"
    plan = "receivers: {rx: {sockets: 6}}\n" + packs + text
    assert [f for f in report_of(plan).findings if f.rule in RULES] == []


def test_a_dead_lead_is_told_and_not_the_pin_pulled_on_purpose() -> None:
    """Putting the other red pin back would feed the radio, and leave the dead ESC dead."""
    plan = """
receivers: {rx: {sockets: 6}}
packs:
  main: {chemistry: lipo, cells: 3}
  other: {chemistry: lipo, cells: 3}
escs:
  a: {bec: {volts: 5 V}, plug: rx.3, supply: main}
  b: {like: a, plug: {into: rx.4, pulled: positive}, supply: other}
as-found: [{end: a.supply, fact: dead}]
"""
    (only,) = no_source(plan)
    assert only.parts == ("a", "rx")
    assert only.help == "mend a.supply, and say so in the plan (mended)"
