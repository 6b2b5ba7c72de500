from __future__ import annotations

import pytest
from control_support import found

RULE = "plug-not-placed"
WING = "wing-plugs: {w: {contacts: 3, circuits: {a: {signal: 1, positive: 2, negative: 3}}%s}}\n"


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {}}",
        "leads: {a: {kind: extension}}",
        "escs: {a: {}}",
        "retracts: {a: {kind: self-contained}}",
        "sequencers: {a: {outlets: 2, power-up: holds}}",
        "servos: {b: {plug: rx.1}, a: {like: b}}",
        "regulators: {a: {volts: 5 V}}",
    ],
)
def test_reports_the_part(text: str) -> None:
    (finding,) = found(RULE, text)
    assert finding.parts == ("a",)


@pytest.mark.parametrize(
    "text",
    [
        "servos: {a: {plug: rx.1}}",
        "loads: {lamp: {supply: p}}\npacks: {p: {chemistry: lipo, cells: 3}}",
        "regulators: {r: {volts: 5 V}}\nloads: {lamp: {supply: r.out}}",
        "packs: {p: {chemistry: lipo, cells: 3}}",
        WING % "",
        WING % ", plugs: {a: rx.1}" + "servos: {a: {plug: w.a}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_a_circuit_in_use_needs_its_lead() -> None:
    (finding,) = found(RULE, WING % "" + "servos: {a: {plug: w.a}}")
    assert 'circuit "a" of wing plug "w"' in finding.message


def test_what_another_part_names_is_not_told_to_go() -> None:
    leg = "\nretracts: {nose: {kind: self-contained, steered-by: a, plug: rx.2}}"
    (alone,) = found(RULE, "servos: {a: {}}")
    (named,) = found(RULE, "servos: {a: {}}" + leg)
    assert "take the part out" in alone.help
    assert "take the part out" not in named.help


def _told(text: str) -> dict[str, str]:
    """Return the advice of each part, up to what else could be done."""
    return {f.parts[0]: f.help.split(", or take")[0].split(";")[0] for f in found(RULE, text)}


CHANNELS = "channels: {1: aileron-left, 2: elevator, 3: throttle, 4: rudder, 5: gear, 6: flap, 7: steering, 8: aileron-right}\n"  # noqa: E501
BOX = """
sequencers:
  box: {outlets: [door-left, door-right, leg-left, leg-right], power-up: holds, %s
        steps: {down: [{outlet: door-left, start: 0 s, end: 1 s, to: open},
                       {outlet: door-right, start: 0 s, end: 1 s, to: open},
                       {outlet: leg-left, start: 1 s, end: 3 s, to: down},
                       {outlet: leg-right, start: 1 s, end: 3 s, to: down}]}}
"""


def test_each_goes_to_its_own_channel() -> None:
    told = _told(
        CHANNELS
        + "servos: {steer: {moves: steering}, rud: {moves: rudder}, right: {moves: aileron-right}}"
        + BOX % ""
    )
    assert told == {
        "steer": "plug it into rx.7 (`plug: rx.7`)",
        "rud": "plug it into rx.4 (`plug: rx.4`)",
        "right": "plug it into rx.8 (`plug: rx.8`)",
        "box": "plug it into rx.5 (`plug: rx.5`)",
    }


def test_no_socket_is_offered_twice() -> None:
    """Two servos of one pulse share by a lead; two ESCs do not."""
    told = _told(
        CHANNELS
        + "servos: {a: {moves: elevator, shaft: left}, b: {moves: elevator, shaft: left}}\n"
        + "escs: {c: {bec: none}, d: {bec: none}}"
    )
    assert told["a"] == "plug it into rx.2 (`plug: rx.2`)"
    assert told["b"] == 'plug it into a Y-lead in rx.2, with servo "a"'
    assert told["c"].startswith("plug it into rx.3 (`plug: rx.3`)")
    assert "rx.3" not in told["d"]


def test_doors_and_legs_go_to_the_outlet_of_their_name() -> None:
    doors = "servos: {door-right: {moves: gear-door}, door-left: {moves: gear-door}}\n"
    legs = "retracts: {leg-right: {kind: self-contained}, leg-left: {kind: self-contained}}"
    told = _told(CHANNELS + doors + legs + BOX % "plug: rx.5,")
    assert told == {
        name: f"plug it into box.{name} (`plug: box.{name}`)"
        for name in ("door-right", "door-left", "leg-right", "leg-left")
    }


def test_where_nothing_is_free_it_says_so() -> None:
    doors = "servos: {door-left: {moves: gear-door}, x: {moves: gear-door}, y: {moves: gear-door}}"
    told = _told(CHANNELS + doors + BOX % "plug: rx.5,")
    assert told["x"] == "plug it into box.door-right (`plug: box.door-right`)"
    assert "Y-lead" in told["y"] or told["y"].startswith("nothing that is free is for it")


def test_an_empty_lead_is_told_no_socket() -> None:
    (finding,) = found(RULE, CHANNELS + "leads: {y: {kind: y}}")
    assert finding.help.startswith("nothing is plugged into it")


def test_the_planner_is_named_once() -> None:
    told = found(RULE, CHANNELS + "servos: {a: {moves: rudder}, b: {moves: elevator}}")
    assert ["`harness assign PLAN` proposes all" in f.help for f in told] == [True, False]
