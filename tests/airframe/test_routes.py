"""Ways through the airframe: Pythagoras by hand, and scipy's shortest path as the oracle."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra
from support import plan_of

from harness.airframe.routes import Airframe
from harness.plan.plan import Plan

BASE = """
places:
  body: {at: {aft: 400 mm, up: 50 mm}}
  wing: {joins: body, side: left, at: {aft: 700 mm, out: 400 mm, up: 50 mm}}
  tip: {in: wing, joins: wing, joined: for-good, at: {aft: 700 mm, out: 600 mm, up: 50 mm}}
  tail: {in: body}
ducts:
  boom: {between: [body, tail], length: 650 mm}
covers:
  lid: {over: body, kind: hatch}
  skin: {over: wing, kind: for-good}
receivers: {rx: {sockets: 8, place: body}}
servos:
  inner: {place: wing}
  outer: {place: tip}
  rudder: {place: tail}
  near: {place: wing, at: {aft: 400 mm, out: 120 mm, up: 50 mm}}
"""


def way(text: str, one: str, other: str = "rx", *via: str) -> tuple[float, tuple[str, ...]] | None:
    plan = plan_of(text)
    found = Airframe(plan).way(plan.parts[one], plan.parts[other], via)
    return found and (found.length, found.places)


@pytest.mark.parametrize(
    ("part", "length", "places"),
    [
        ("inner", 500.0, ("wing", "body")),
        ("outer", 700.0, ("tip", "wing", "body")),
        ("rudder", 650.0, ("tail", "body")),
        ("near", 120.0, ("wing", "body")),
    ],
)
def test_ways_by_hand(part: str, length: float, places: tuple[str, ...]) -> None:
    """Body to wing: 300 aft and 400 out, so sqrt(300^2 + 400^2) = 500. Tip: 200 further out.

    Tail: no position, but a duct of 650. Near: a position of its own, 120 straight out from the
    body's point; it does not go by the wing's point (500 + sqrt(300^2 + 280^2) = 910).
    """
    assert way(BASE, part) == (pytest.approx(length, abs=1e-6), places)


def test_up_counts_as_well() -> None:
    """3 4 12: sqrt(30^2 + 40^2 + 120^2) = 130 (a Pythagorean box)."""
    text = """
places:
  a: {at: 100 mm}
  b: {in: a, side: right, at: {aft: 130 mm, out: 40 mm, up: 120 mm}}
receivers: {rx: {sockets: 1, place: a}}
servos: {s: {place: b}}
"""
    assert way(text, "s") == (pytest.approx(130.0), ("b", "a"))


def test_left_and_right_lie_on_two_sides() -> None:
    """Two wings 300 out on either side of a body: straight from tip to tip by the body, 600."""
    text = """
places:
  body: {at: 100 mm}
  l: {joins: body, side: left, at: {aft: 100 mm, out: 300 mm}}
  r: {joins: body, side: right, at: {aft: 100 mm, out: 300 mm}}
ducts: {spar: {between: [l, r]}}
receivers: {rx: {sockets: 1, place: l}}
servos: {s: {place: r}}
"""
    assert way(text, "s") == (pytest.approx(600.0), ("r", "l"))


def test_a_stated_length_takes_the_place_of_the_straight_line() -> None:
    text = BASE + "  far: {place: wing}\n"
    longer = text.replace("ducts:\n", "ducts:\n  root: {between: [wing, body], length: 520 mm}\n")
    assert way(longer, "inner") == (520.0, ("wing", "body"))


def test_the_shorter_of_two_ducts_is_taken() -> None:
    two = BASE.replace("ducts:\n", "ducts:\n  under: {between: [tail, body], length: 600 mm}\n")
    assert way(two, "rudder") == (600.0, ("tail", "body"))


def test_a_route_is_followed_whichever_end_it_is_told_from() -> None:
    """A second way round by the rib: 300 + 400 (both by ducts) against 500 straight."""
    text = BASE.replace(
        "ducts:\n",
        """ducts:
  up: {between: [body, rib], length: 300 mm}
  out: {between: [rib, wing], length: 400 mm}
""",
    ).replace("places:\n", "places:\n  rib: {in: body}\n")
    assert way(text, "inner") == (500.0, ("wing", "body"))
    assert way(text, "inner", "rx", "rib") == (700.0, ("wing", "rib", "body"))
    there = way(text, "outer", "rx", "wing", "rib")
    assert (
        there == way(text, "outer", "rx", "rib", "wing") == (900.0, ("tip", "wing", "rib", "body"))
    )


def test_joints_and_hatches_on_the_way() -> None:
    plan = plan_of(BASE)
    found = Airframe(plan).way(plan.parts["outer"], plan.parts["rx"])
    assert found is not None
    assert set(found.joints) == {"tip", "wing"}
    assert found.removable == ("wing",)  # the tip is joined for good
    assert found.hatches == ("lid",)  # not the skin, which never opens


def test_a_hatch_over_all_of_a_way_is_not_gone_out_of() -> None:
    plan = plan_of(BASE.replace("over: body, kind", "over: [body, tail], kind"))
    found = Airframe(plan).way(plan.parts["rudder"], plan.parts["rx"])
    assert found is not None
    assert found.hatches == ()


@pytest.mark.parametrize("lost", [", up: 50 mm}}\n  tip", "at: {aft: 400 mm, up: 50 mm}"])
def test_unknown_positions_are_no_way(lost: str) -> None:
    text = BASE.replace("at: {aft: 700 mm, out: 400 mm, up: 50 mm}", "") if "tip" in lost else (
        BASE.replace(lost, ""))  # fmt: skip
    assert way(text, "inner") is None
    plan = plan_of(text)
    missing = Airframe(plan).missing(plan.parts["inner"], plan.parts["rx"])
    name = "wing" if "tip" in lost else "body"
    assert f'the position of place "{name}" (at)' in missing


def test_nothing_is_missing_where_nothing_was_begun() -> None:
    text = "places: {a: {}, b: {in: a}}\nreceivers: {rx: {sockets: 1, place: a}}\n"
    plan = plan_of(text + "servos: {s: {place: b}}\n")
    frame = Airframe(plan)
    assert frame.way(plan.parts["s"], plan.parts["rx"]) is None
    assert frame.missing(plan.parts["s"], plan.parts["rx"]) == ()


def _random_plan(seed: int) -> tuple[Plan, dict[frozenset[str], float]]:
    """Places in a chain or tree with random points, some ducts; and the length of each line."""
    rng = random.Random(seed)
    count = rng.randint(3, 12)
    points = [(rng.randint(0, 900), rng.randint(1, 900), rng.randint(0, 90)) for _ in range(count)]
    lines, lengths, ducts = ["places:"], dict[frozenset[str], float](), set[frozenset[str]]()
    for n, (aft, out, up) in enumerate(points):
        held = rng.randrange(n) if n else None
        inside = f"in: p{held}, " if n else ""
        lines.append(f"  p{n}: {{{inside}side: right, at: "
                     f"{{aft: {aft} mm, out: {out} mm, up: {up} mm}}}}")  # fmt: skip
        if held is not None:
            square = sum((a - b) ** 2 for a, b in zip(points[n], points[held], strict=True))
            lengths[frozenset((f"p{n}", f"p{held}"))] = square**0.5
    lines.append("ducts:")
    for n in range(rng.randint(1, 8)):
        a, b = rng.sample(range(count), 2)
        length = rng.randint(1, 1500)
        lines.append(f"  d{n}: {{between: [p{a}, p{b}], length: {length} mm}}")
        pair = frozenset((f"p{a}", f"p{b}"))
        lengths[pair] = min(length, lengths[pair]) if pair in ducts else length
        ducts.add(pair)
    lines.append(f"receivers: {{rx: {{sockets: 1, place: p{rng.randrange(count)}}}}}")
    lines.append(f"servos: {{s: {{place: p{rng.randrange(count)}}}}}")
    return plan_of("\n".join(lines) + "\n"), lengths


@pytest.mark.parametrize("seed", range(60))
def test_shortest_against_scipy(seed: int) -> None:
    plan, lengths = _random_plan(seed)
    rx, servo = plan.parts["rx"], plan.parts["s"]
    found = Airframe(plan).way(servo, rx)
    names = list(plan.places)
    table = np.zeros((len(names), len(names)))
    for pair, length in lengths.items():
        table[tuple(map(names.index, pair))] = length
    far = dijkstra(csr_array(table), directed=False)
    wanted = far[names.index(servo.place), names.index(rx.place)]
    assert found is not None
    assert found.length == pytest.approx(wanted, abs=1e-5)
    assert found.places[0] == servo.place
    assert found.places[-1] == rx.place
    steps = zip(found.places, found.places[1:], strict=False)
    assert all(frozenset(step) in lengths for step in steps)


@pytest.mark.parametrize("names", [("left", "right"), ("right", "left")])
def test_of_ways_alike_fewer_legs_then_the_first_by_name(names: tuple[str, str]) -> None:
    """Three ways of 300 mm: two with two legs, one with three."""
    ducts = [("a", names[0], 150), (names[0], "z", 150), ("a", names[1], 100), (names[1], "z", 200),
             ("a", "b", 100), ("b", "c", 100), ("c", "z", 100)]  # fmt: skip
    lines = [f"  d{n}: {{between: [{x}, {y}], length: {mm} mm}}"
             for n, (x, y, mm) in enumerate(ducts)]  # fmt: skip
    plan = plan_of(
        "places: {a: {}, b: {}, c: {}, left: {}, right: {}, z: {}}\nducts:\n" + "\n".join(lines)
        + "\nreceivers: {rx: {sockets: 1, place: z}}\nservos: {s: {place: a}}\n"
    )  # fmt: skip
    found = Airframe(plan).way(plan.parts["s"], plan.parts["rx"])
    assert found is not None
    assert found.places == ("a", "left", "z")
