"""The short forms of a plan mean what the long one says, and what they cannot mean is told."""

from __future__ import annotations

import dataclasses

import pytest

from harness.base.span import Source
from harness.parts.bec import Bec
from harness.parts.esc import Esc
from harness.parts.join import JOIN
from harness.parts.join import JOINS as SOME
from harness.parts.kinds import GROUPS
from harness.parts.servo import Servo
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import SetKey, apply
from harness.plan.short import JOINS
from harness.reading.problems import PlanError
from harness.reading.records import keys_of

HEAD = "plan: 1\naircraft: Reed 2\n"
LONG = (
    HEAD
    + """
places:
  fuselage: {}
  wing-left: {joins: fuselage, side: left}
  wing-right: {joins: fuselage, side: right}
channels: {1: aileron, 2: elevator, 3: throttle, 6: aileron, 7: throttle}
receivers: {rx: {place: fuselage, sockets: 8}}
servos:
  aileron-left:
    {place: wing-left, class: 9g-analogue, moves: aileron-left, shaft: left, plug: rx.1}
  aileron-right:
    {place: wing-right, class: 9g-analogue, moves: aileron-right, shaft: right, plug: rx.6}
  elevator-left: {place: fuselage, class: 17g-digital, moves: elevator, shaft: up, plug: y.1}
  elevator-right: {place: fuselage, class: 17g-digital, moves: elevator, shaft: up, plug: y.2}
leads: {y: {place: fuselage, kind: y, plug: rx.2}}
escs:
  esc-left: {place: wing-left, rated: 30 A, plug: rx.3, supply: feed.1}
  esc-right: {place: wing-right, rated: 30 A, plug: {into: rx.7, pulled: positive}, supply: feed.2}
motors:
  motor-left: {place: wing-left, full-throttle: 12 A, plug: esc-left}
  motor-right: {place: wing-right, full-throttle: 12 A, plug: esc-right}
power-leads: {feed: {place: fuselage, kind: parallel, ways: 2, supply: pack}}
packs: {pack: {place: fuselage, chemistry: lipo, cells: 3, capacity: 2 Ah}}
"""
)
SHORT = (
    HEAD
    + """
places:
  fuselage:
    receivers: {rx: {sockets: 8}}
    leads: {y: {kind: y, plug: rx.2}}
    power-leads: {feed: {kind: parallel, ways: 2, supply: pack}}
    packs: {pack: {chemistry: lipo, cells: 3, capacity: 2 Ah}}
    servos:
      elevator-left: {class: 17g-digital, moves: elevator, shaft: up, plug: y.1, mirrored: yes}
  wing-left:
    joins: fuselage
    side: left
    mirrored: yes
    servos:
      aileron-left: {class: 9g-analogue, moves: aileron-left, shaft: left, plug: rx.1,
                     mirrored: {plug: rx.6}}
    escs:
      esc-left: {rated: 30 A, plug: rx.3, supply: feed.1,
                 mirrored: {plug: {into: rx.7, pulled: positive}}}
    motors: {motor-left: {full-throttle: 12 A, plug: esc-left}}
channels: {1: aileron, 2: elevator, 3: throttle, 6: aileron, 7: throttle}
"""
)


def read(text: str) -> Plan:
    return parse_plan(Source("reed-2.yaml", text))


def problems(text: str) -> list[tuple[str, int, str]]:
    with pytest.raises(PlanError) as caught:
        read(HEAD + text)
    return [(p.message, p.span.line, p.help) for p in caught.value.problems]


def bare(value: object) -> object:
    """A value without the places in the file that it came from."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        names = [
            f.name for f in dataclasses.fields(value) if f.name not in {"span", "spans", "words"}
        ]
        return type(value), {name: bare(getattr(value, name)) for name in names}
    if isinstance(value, dict):
        return {name: bare(one) for name, one in value.items()}
    return [bare(one) for one in value] if isinstance(value, tuple | list) else value


def same(one: Plan, other: Plan) -> None:
    assert bare(one.parts) == bare(other.parts)
    assert bare(one.places) == bare(other.places)


def test_short_says_what_long_says() -> None:
    same(read(SHORT), read(LONG))


def test_builders_own_words_for_sides() -> None:
    long = (
        HEAD
        + """
functions: {links: {side: left}, rechts: {side: right}, querruder: aileron}
channels: {1: querruder}
receivers: {rx: {sockets: 4}}
leads: {y: {kind: y, plug: rx.1}}
servos:
  querruder-links: {moves: querruder, shaft: left, plug: y.1}
  querruder-rechts: {moves: querruder, shaft: right, plug: y.2}
"""
    )
    short = long.replace(
        "  querruder-rechts: {moves: querruder, shaft: right, plug: y.2}\n", ""
    ).replace("plug: y.1}", "plug: y.1, mirrored: yes}")
    same(read(short), read(long))


def test_like_a_mirror_image_and_a_mirror_image_of_what_is_like_another() -> None:
    long = """
receivers: {rx: {sockets: 8}}
servos:
  flap-left: {class: 9g-analogue, moves: flap, shaft: left, arm: up, plug: rx.1}
  flap-right: {class: 9g-analogue, moves: flap, shaft: right, arm: up, plug: rx.2}
  slat-left: {class: 9g-analogue, moves: slat, shaft: left, arm: up, plug: rx.3}
  slat-right: {class: 9g-analogue, moves: slat, shaft: right, arm: up, plug: rx.4}
  spare: {class: 9g-analogue, moves: flap, shaft: right, arm: down, plug: rx.5}
"""
    short = """
receivers: {rx: {sockets: 8}}
servos:
  slat-left: {like: flap-left, moves: slat, plug: rx.3, mirrored: {plug: rx.4}}
  spare: {like: flap-right, arm: down, plug: rx.5}
  flap-left: {class: 9g-analogue, moves: flap, shaft: left, arm: up, plug: rx.1,
              mirrored: {plug: rx.2}}
"""
    same(read(HEAD + short), read(HEAD + long))


def test_nothing_seen_on_one_side_is_true_of_the_other() -> None:
    parts = read(
        HEAD
        + """
packs: {p-left: {cells: 3, chemistry: lipo, capacity: 1 Ah, mirrored: yes}}
escs: {e-left: {supply: p-left, code: K, bec: {volts: 5 V, rated: 2 A, metered: 5.1 V},
                mirrored: yes}}
"""
    ).parts
    left, right = (parts[name] for name in ("e-left", "e-right"))
    assert isinstance(left, Esc)
    assert isinstance(right, Esc)
    assert isinstance(left.bec, Bec)
    assert isinstance(right.bec, Bec)
    assert left.bec.metered == 5.1
    assert (right.bec.metered, right.code, dict(right.joins())["supply"].into) == (
        None, "", "p-right")  # fmt: skip


@pytest.mark.parametrize(
    ("text", "message", "line", "help"),
    [
        ("servos: {flap: {mirrored: yes}}", '"flap" is mirrored, but its name has no side', 3,
         'call it "flap-left": the other one is then "flap-right"'),
        ("servos:\n  flap-left: {mirrored: yes}\n  flap-right: {}",
         '"flap-right" stands here, and is the mirror image of "flap-left" too', 5,
         'write what differs into `mirrored` of "flap-left", or leave that out'),
        ("receivers: {rx: {sockets: 4}}\nservos: {f-left: {plug: rx.1, mirrored: yes}}",
         '"f-right", the mirror image, would go into rx.1 as well', 4,
         "say where that one goes: `mirrored: {plug: part.socket}`"),
        ("servos: {f-left: {plug: y-left.1, mirrored: yes}}\nleads: {y-left: {kind: y}}",
         '"f-right", the mirror image, would go into y-right.1, which is not there', 3,
         "say where that one goes: `mirrored: {plug: part.socket}`"),
        ("servos: {f-left: {mirrored: maybe}}", '"maybe" is neither yes nor no', 3,
         "write yes or no"),
        ("servos: {f-left: {mirrored: {plugg: rx.1}}}", '"plugg" is not a key of a servo', 3, None),
        ("places: {nose: {servos: {a: {place: tail}}}, tail: {}}",
         '"a" stands under "nose" and names another place', 3,
         "leave out `place`, or write it under that one"),
        ("places: {nose: {servos: {a: {}}}}\nservos:\n  a: {}",
         'the id "a" is used twice: first on line 5', 3, ""),
        ("places: {nose: {servos: 5}}", '"servos" holds parts by their names', 3, None),
        ("servos: {a-left: {like: b-left}, b-left: {like: a-right, mirrored: yes}}",
         'there is no "a-right" among the servos', 3, None),
        ("servos: {a-left: {like: b-right}, b-left: {like: a-left, mirrored: yes}}",
         'a-left, b-left and b-right are like one another', 3, None),
    ],
)  # fmt: skip
def test_what_it_cannot_mean(text: str, message: str, line: int, help: str | None) -> None:
    found = problems(text)
    assert (message, line) in [(m, n) for m, n, _ in found], found
    assert help is None or (message, line, help) in found


def test_a_part_of_a_mirrored_place_may_be_there_once() -> None:
    plan = read(
        HEAD
        + """
places:
  wing-left: {side: left, mirrored: yes, servos: {release: {mirrored: no}, flap-left: {}}}
"""
    )
    assert list(plan.parts) == ["release", "flap-left", "flap-right"]
    assert plan.parts["flap-right"].place == "wing-right"
    assert plan.places["wing-right"].side == "right"


def test_edits_of_a_mirror_image_go_beside_what_it_is_of() -> None:
    plan = read(SHORT)
    text = apply(plan, [SetKey("aileron-right", "plug", "rx.8"), SetKey("rx", "about", "new"),
                        SetKey("motor-right", "about", "other"),
                        SetKey("aileron-left", "shaft", "up"),
                        SetKey("elevator-left", "reversed", "yes")])  # fmt: skip
    again = read(text)
    parts = again.parts
    assert dict(parts["aileron-right"].joins())["plug"].into == "rx.8"
    assert dict(parts["aileron-left"].joins())["plug"].into == "rx.1"
    assert (parts["motor-left"].about, parts["motor-right"].about) == ("", "other")
    servos = {servo.id: servo for servo in again.of(Servo)}
    assert (servos["aileron-left"].shaft, servos["aileron-right"].shaft) == ("up", "right")
    assert (servos["elevator-left"].reversed, servos["elevator-right"].reversed) == (True, False)
    assert len(parts) == len(plan.parts)


def test_no_plug_of_any_kind_of_part_is_repeated() -> None:
    told = {key.word for kind in GROUPS.values() for key in keys_of(kind).values()
            if key.kind is JOIN or key.kind is SOME}  # fmt: skip
    assert "second-plug" in told
    assert told <= JOINS


def test_one_plug_said_of_a_mirror_image_leaves_the_others_where_they_lie() -> None:
    plan = read(
        HEAD
        + """
channels: {1: aileron-left, 8: aileron-right}
receivers: {rx: {sockets: 8}}
leads: {flap-y: {kind: y, plug: rx.6}}
wing-plugs:
  root-left:
    contacts: 6
    circuits:
      aileron: {signal: 1, positive: 3, negative: 4}
      flap: {signal: 2, positive: 5, negative: 6}
    plugs: {aileron: rx.1, flap: flap-y.1}
    mirrored: {plugs: {aileron: rx.8}}
"""
    )
    joins = {name: join.into for name, join in plan.parts["root-right"].joins()}
    assert joins == {"plug-aileron": "rx.8", "plug-flap": "flap-y.2"}
