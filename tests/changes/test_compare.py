"""Each kind of change by one small edit of a plan, and the sentences it must give.

The expected sentences are written by hand from the edit; the label codes and the figures are
tested elsewhere, so only the sorts of change named in a case are read.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.changes.compare import compare
from harness.changes.model import KINDS, Changes

PLAN = """
aircraft: Test
plan: 1
places: {hull: {}, wing: {joins: hull, side: left}}
channels:
  1: {function: aileron, failsafe: neutral}
  3: {function: throttle, failsafe: off}
  6: {function: flap, failsafe: up}
transmitter: {order: AETR, channels: 8}
mixes: [{kind: crow, of: [aileron, flap], made-in: transmitter}]
receivers: {rx: {sockets: 8, place: hull}}
servos:
  flap-left: {class: 9g-analogue, moves: flap, shaft: left, place: wing, plug: flap-y.1}
  flap-right: {class: 9g-analogue, moves: flap, shaft: left, place: hull, plug: flap-y.2}
  aileron: {class: 9g-analogue, moves: aileron, place: wing, plug: rx.1}
leads:
  flap-y: {kind: y, plug: rx.6, length: 300 mm, wire: 22 AWG, tested: yes}
escs:
  esc: {rated: 30 A, cells-max: 4, bec: {kind: switching, volts: 5 V, rated: 3 A, metered: 5.02 V},
        plug: {into: rx.3, pulled: positive}, supply: pack, connector: XT60, length: 120 mm}
motors: {motor: {full-throttle: 18 A, plug: esc}}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 25 C, connector: XT60}}
regulators: {reg: {volts: 5.5 V, rated: 5 A, supply: spare, plug: rx.batt, connector: XT30}}
power-leads: {}
flight: [{phase: climb, time: 60 s}, {phase: glide, time: 5 min}]
"""
PLAN += "kit: [{kind: y, length: 300 mm, wire: 22 AWG}]\n"
PLAN = PLAN.replace("packs: {pack:", "packs: {spare: {chemistry: lipo, cells: 2, connector: XT30},"
                    " pack:")  # fmt: skip
PLACES = {"new", "gone", "changed", "moved", "pins", "renamed", "channels"}


def after(*edits: tuple[str, str]) -> Changes:
    """Compare the plan with itself after some edits of its text."""
    return compare(report_of(PLAN), report_of(edited(*edits)))


def edited(*edits: tuple[str, str]) -> str:
    text = PLAN
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def told(found: Changes) -> list[str]:
    return [change.text for change in found.changes if change.kind in PLACES]


CASES = {
    "moved": (
        [("plug: rx.1}", "plug: rx.5}")],
        "moved",
        ["aileron's plug moved from rx.1 to rx.5"],
    ),
    "lead-moved": (
        [("kind: y, plug: rx.6", "kind: y, plug: rx.5")],
        "moved",
        ["flap-y's plug moved from rx.6 to rx.5"],
    ),
    "battery-plug": (
        [("supply: pack,", "supply: spare,")],
        "moved",
        ["esc's battery plug moved from pack to spare"],
    ),
    "motor-wires": (
        [("18 A, plug: esc", "18 A")],
        "moved",
        ["motor's motor wires came out of esc, now loose"],
    ),
    "pulled-out": (
        [(", place: wing, plug: rx.1}", ", place: wing}")],
        "moved",
        ["aileron's plug came out of rx.1, now loose"],
    ),
    "pin-back": (
        [("plug: {into: rx.3, pulled: positive}", "plug: rx.3")],
        "pins",
        ["the positive pin (red wire) of esc's plug is put back"],
    ),
    "pin-pulled": (
        [("pulled: positive", "pulled: [positive, signal]")],
        "pins",
        ["the signal pin (pale wire) of esc's plug is pulled now"],
    ),
    "turned": (
        [("plug: rx.1}", "plug: {into: rx.1, turned: yes}}")],
        "pins",
        ["aileron's plug sits turned now"],
    ),
    "crossed": (
        [("supply: pack,", "supply: {into: pack, poles: crossed},")],
        "pins",
        ["the poles of esc's battery plug are crossed now"],
    ),
    "made-in": (
        [("plug: rx.1}", "plug: {into: rx.1, in: wing}}")],
        "changed",
        ["where aileron's plug is made is stated now: wing"],
    ),
    "thicker": (
        [("300 mm, wire: 22 AWG, tested", "300 mm, wire: 20 AWG, tested")],
        "changed",
        ["the wire of flap-y is thicker: 20 AWG, before 22 AWG"],
    ),
    "longer": (
        [("kind: y, plug: rx.6, length: 300 mm", "kind: y, plug: rx.6, length: 450 mm")],
        "changed",
        ["flap-y is longer: 450 mm, before 300 mm"],
    ),
    "capacity": (
        [("capacity: 5 Ah", "capacity: 4.2 Ah")],
        "changed",
        ["pack: capacity 4.2 Ah, before 5 Ah"],
    ),
    "stated-now": (
        [("moves: aileron, place", "moves: aileron, length: 250 mm, place")],
        "changed",
        ["aileron: length 250 mm, not stated before"],
    ),
    "inside": (
        [("volts: 5 V, rated: 3 A", "volts: 5 V, rated: 5 A")],
        "changed",
        ["esc: BEC rated 5 A, before 3 A"],
    ),
    "no-bec": (
        [("bec: {kind: switching, volts: 5 V, rated: 3 A, metered: 5.02 V}", "bec: none")],
        "changed",
        [
            "esc: BEC none, before kind switching, volts 5 V, rated 3 A, metered 5.02 V",
        ],
    ),
    "yes-no": (
        [("wire: 22 AWG, tested: yes", "wire: 22 AWG, tested: no")],
        "changed",
        ["flap-y: tested no, before yes"],
    ),
    "place": (
        [("shaft: left, place: hull", "shaft: left, place: wing")],
        "changed",
        ["flap-right: place wing, before hull"],
    ),
    "new-part": (
        [("leads:\n", "leads:\n  more: {kind: extension, plug: rx.7}\n")],
        "new",
        ['lead "more" is new; it goes into rx.7'],
    ),
    "gone-part": (
        [("motors: {motor: {full-throttle: 18 A, plug: esc}}\n", "")],
        "gone",
        ['motor "motor" is gone; it went into esc'],
    ),
    "channel-function": (
        [("1: {function: aileron,", "1: {function: elevon,")],
        "channels",
        ["channel 1 does elevon now, before aileron"],
    ),
    "failsafe": (
        [("failsafe: off}", "failsafe: hold}")],
        "channels",
        ["channel 3 (throttle): failsafe hold, before off"],
    ),
    "channel-new": (
        [
            (
                "  6: {function: flap, failsafe: up}",
                "  6: {function: flap, failsafe: up}\n  7: lights",
            )
        ],
        "channels",
        ["channel 7 is new: lights"],
    ),
    "radio": (
        [("order: AETR", "order: TAER")],
        "changed",
        ["the transmitter: order TAER, before AETR"],
    ),
    "mix": (
        [("kind: crow, of: [aileron, flap]", "kind: crow, of: flap")],
        "gone",
        ["mix is gone: kind crow, of aileron and flap, made in transmitter"],
    ),
    "kit": (
        [("{kind: y, length: 300 mm, wire: 22 AWG}", "{kind: y, count: 2, length: 300 mm}")],
        "new",
        ["kit line is new: 2 Y-leads (300 mm) from the box"],
    ),
    "phases": (
        [
            (
                "{phase: climb, time: 60 s}, {phase: glide, time: 5 min}",
                "{phase: glide, time: 5 min}, {phase: climb, time: 60 s}",
            )
        ],
        "changed",
        ["the phases of the flight stand in another order"],
    ),
    "place-new": (
        [
            ("places: {hull: {}, wing", "places: {hull: {}, bay: {in: hull}, wing"),
        ],
        "new",
        ['place "bay" is new'],
    ),
    "class": (
        [("plan: 1\n", "plan: 1\nclasses: {servos: {9g-analogue: {stall: 0.9 A}}}\n")],
        "changed",
        ["class 9g-analogue of servos: stall 0.9 A, before 0.8 A"],
    ),
    "reserve": (
        [("plan: 1\n", "plan: 1\nreserve: 25 %\n")],
        "changed",
        ["the plan: reserve 25 %, not stated before"],
    ),
    "accepted": (
        [
            (
                "plan: 1\n",
                "plan: 1\naccepted: [{rule: door-timing, part: esc, because: none there}]\n",
            )
        ],
        "new",
        ["acceptance is new: rule door-timing, part esc, because none there"],
    ),
    "lead-renamed": (
        [
            ("  flap-y: {kind", "  y-of-flaps: {kind"),
            ("plug: flap-y.1", "plug: y-of-flaps.1"),
            ("plug: flap-y.2", "plug: y-of-flaps.2"),
        ],
        "renamed",
        ['lead "flap-y" is called y-of-flaps now'],
    ),
    "receiver-renamed": (
        [
            ("receivers: {rx:", "receivers: {radio:"),
            ("plug: rx.1}", "plug: radio.1}"),
            ("plug: rx.6", "plug: radio.6"),
            ("into: rx.3", "into: radio.3"),
            ("plug: rx.batt", "plug: radio.batt"),
        ],
        "renamed",
        ['receiver "rx" is called radio now'],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_one_edit_one_sentence(name: str) -> None:
    edits, kind, sentences = CASES[name]
    found = after(*edits)
    assert [change.text for change in found.of(kind)] == sentences
    others = [change.text for change in found.changes
              if change.kind in PLACES - {kind}]  # fmt: skip
    lists = ("mix", "kit line")  # a record without a name that differs is one gone and one new
    assert [text for text in others if not text.startswith(lists)] == []


@pytest.mark.parametrize("name", CASES)
def test_swapped_plans_give_the_mirrored_answer(name: str) -> None:
    edits, _, _ = CASES[name]
    forth = after(*edits)
    back = compare(report_of(edited(*edits)), report_of(PLAN))
    mirror = {"new": "gone", "gone": "new"}

    def sides(found: Changes, *, swapped: bool) -> list[tuple[str, str, str]]:
        return sorted(
            (mirror.get(c.kind, c.kind), c.new, c.old) if swapped else (c.kind, c.old, c.new)
            for c in found.changes
        )

    assert sides(back, swapped=False) == sides(forth, swapped=True)
    assert {new: old for old, new in forth.renames.items()} == back.renames


@pytest.mark.parametrize("name", CASES)
def test_a_plan_is_like_itself(name: str) -> None:
    text = edited(*CASES[name][0])
    assert compare(report_of(text), report_of(text)).changes == ()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("300 mm, wire: 22 AWG, tested", "30 cm, wire: AWG 22, tested"),
        ("supply: pack,", "supply: {into: pack.main, poles: straight},"),
        ("plug: rx.1}", "plug: {into: rx.1}}"),
        ("capacity: 5 Ah", "capacity: 5000 mAh"),
        ("3: {function: throttle, failsafe: off}", "3: {failsafe: off, function: throttle} # x"),
    ],
)  # fmt: skip
def test_other_ways_to_write_the_same(old: str, new: str) -> None:
    text = edited((old, new))
    assert compare(report_of(PLAN), report_of(text)).changes == ()


def test_order_in_the_file_is_free() -> None:
    head, *blocks = PLAN.strip().split("\nservos:")
    groups = ("servos:" + blocks[0]).split("\nflight:")
    turned = f"flight:{groups[1]}\n{groups[0]}\n{head}\n"
    lines = turned.split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("  flap-left"))
    lines[at : at + 3] = reversed(lines[at : at + 3])
    found = compare(report_of(PLAN), report_of("\n".join(lines)))
    assert found.changes == ()
    assert not found.same_text


def test_like_is_no_fact_of_its_own() -> None:
    old = "flap-right: {class: 9g-analogue, moves: flap, shaft: left, place: hull, plug"
    assert after((old, "flap-right: {like: flap-left, place: hull, plug")).changes == ()


def test_two_alike_candidates_are_not_guessed() -> None:
    """Two servos without plugs, both named anew: nobody can say which is which."""
    old = "servos: {a: {class: 9g-analogue}, b: {class: 9g-analogue}}"
    new = "servos: {c: {class: 9g-analogue}, d: {class: 9g-analogue}}"
    found = compare(report_of(old), report_of(new))
    assert found.renames == {}
    assert [len(found.of(kind)) for kind in ("new", "gone", "renamed")] == [2, 2, 0]


def test_another_figure_is_no_rename() -> None:
    found = after(("  aileron: {class: 9g-analogue", "  ail: {class: 17g-digital"))
    assert found.renames == {}
    assert [c.text for c in found.of("new")] == ['servo "ail" is new; it goes into rx.1']
    assert [c.text for c in found.of("gone")] == ['servo "aileron" is gone; it went into rx.1']


def test_another_socket_is_no_rename() -> None:
    edits = (("  aileron: {class", "  ail: {class"), ("plug: rx.1}", "plug: rx.2}"))
    assert after(*edits).renames == {}


def test_a_chain_of_new_names_is_followed() -> None:
    """Lead, servo and receiver all have new names; each is found by what it plugs into."""
    old = """
receivers: {rx: {sockets: 4}}
leads: {ext: {kind: extension, plug: rx.1}}
servos: {s: {class: 9g-analogue, plug: ext.1}, t: {class: 9g-analogue, plug: rx.2}}
"""
    new = old.replace("rx", "radio").replace("ext:", "long:").replace("ext.1", "long.1")
    new = new.replace("{s:", "{servo:")
    found = compare(report_of(old), report_of(new))
    assert found.renames == {"rx": "radio", "ext": "long", "s": "servo"}
    assert {c.kind for c in found.changes} == {"renamed"}


def test_the_outputs_of_a_regulator_are_alike() -> None:
    one = "receivers: {rx: {sockets: 4, supply-sockets: 2}}\n"
    one += "packs: {p: {chemistry: life, cells: 2}}\n"
    reg = "regulators: {r: {volts: 5 V, supply: p, plug: [rx.batt-1, rx.batt-2]}}\n"
    swapped = reg.replace("[rx.batt-1, rx.batt-2]", "[rx.batt-2, rx.batt-1]")
    assert compare(report_of(one + reg), report_of(one + swapped)).changes == ()
    fewer = reg.replace("[rx.batt-1, rx.batt-2]", "rx.batt-2")
    found = compare(report_of(one + reg), report_of(one + fewer))
    assert [c.text for c in found.of("moved")] == ["r's plug 1 came out of rx.batt-1, now loose"]


def test_findings_gone_and_new() -> None:
    """Two servos in one socket is a fault by any rule."""
    found = after(("plug: rx.1}", "plug: rx.6}"))
    new = [c.text for c in found.of("findings") if "socket-used-twice" in c.text]
    assert len(new) == 1
    assert new[0].startswith("new, error: ")
    back = compare(report_of(edited(("plug: rx.1}", "plug: rx.6}"))), report_of(PLAN))
    assert [c.text.replace("gone, ", "new, ") for c in back.of("findings")
            if "socket-used-twice" in c.text] == new  # fmt: skip


def test_a_finding_that_is_accepted_now() -> None:
    text = "receivers: {rx: {sockets: 2}}\nleads: {l: {kind: y, plug: rx.1}}\n"
    because = "accepted: [{rule: lead-not-tested, part: l, because: metered by the club}]\n"
    found = compare(report_of(text), report_of(text + because))
    (change,) = [c for c in found.of("findings") if c.what == "lead-not-tested"]
    assert change.text == (
        'note before, accepted now: Y-lead "l" is not recorded as metered, '
        "because metered by the club [lead-not-tested]"
    )


def test_a_new_name_alone_changes_no_finding() -> None:
    old = "receivers: {rx: {sockets: 2}}\nleads: {l: {kind: y, plug: rx.1}}\n"
    found = compare(report_of(old), report_of(old.replace("{l:", "{long:")))
    assert found.renames == {"l": "long"}
    assert found.of("findings") == ()


def test_facts_no_longer_lacking() -> None:
    found = after(("length: 120 mm}", "}"))
    texts = [c.text for c in found.of("findings") if c.what == "not known"]
    assert texts == ["esc: not known now: the length of its battery wires (length)"]


def test_worst_case_volts() -> None:
    """Half the cells, half the volts: the lowest volts of the pack and of what it feeds fall."""
    found = after(("cells: 3, capacity", "cells: 2, capacity"))
    texts = [c.text for c in found.of("figures")]
    assert any(text.startswith('pack "pack": lowest ') for text in texts)
    assert all(c.kind in KINDS for c in found.changes)
