"""Small edits of one plan, with the sentences each must give, written by hand from the edit."""

from __future__ import annotations

from support import report_of

from harness.changes.change import Changes
from harness.changes.compare import compare

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


CASES = {
    "a no that nobody wrote": (
        [("shaft: left, place: wing", "shaft: left, fixed: yes, place: wing")],
        "changed",
        ["flap-left: fixed yes, not stated before"],
    ),
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
        ["esc: BEC none, before kind switching, volts 5 V, rated 3 A, metered 5.02 V"],
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
        [("places: {hull: {}, wing", "places: {hull: {}, bay: {in: hull}, wing")],
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
