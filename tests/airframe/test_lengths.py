"""What runs need and have: reckoned by hand with the trade's slack (common practice, no source).

50 to 100 mm past the edge of a hatch or wing joint, 20 to 30 mm at a servo, 5 to 10 % on runs.
"""

from __future__ import annotations

import random
from collections import Counter
from itertools import combinations_with_replacement

import pytest
from support import plan_of

from harness.airframe.buy import choose, offers
from harness.airframe.lengths import MeasuredRun, Plug, lengths_of, needed_run, plugs_on
from harness.airframe.stock import next_stock, stock_lengths
from harness.wiring.build import build

STOCK = (100.0, 150.0, 200.0, 300.0, 450.0, 600.0, 900.0, 1000.0)
"""The trade's stock lengths in mm; common practice."""

WING = """
places:
  body: {at: 400 mm}
  wing: {joins: body, side: left, at: {aft: 400 mm, out: 500 mm}}
  tail: {in: body, at: 1100 mm}
ducts: {boom: {between: [body, tail]}}
covers: {lid: {over: body, kind: hatch}, flap: {over: tail, kind: screwed}}
receivers: {rx: {sockets: 8, place: body}}
servos:
  aileron: {place: wing, length: 250 mm, plug: ext.1}
  rudder: {place: tail, length: 250 mm, plug: long.1}
leads:
  ext: {kind: extension, plug: rx.1, length: 600 mm}
  long: {kind: extension, plug: rx.2, length: 600 mm}
escs:
  esc: {place: wing, plug: rx.3, supply: pack, lead-length: 450 mm, length: 550 mm}
motors: {motor: {place: wing, plug: esc, length: 80 mm}}
packs: {pack: {place: body, chemistry: lipo, cells: 3, length: 100 mm}}
"""


def runs(text: str) -> dict[str, MeasuredRun]:
    return {m.run.name: m for m in lengths_of(build(plan_of(text)))}


def test_needed_by_hand() -> None:
    """500 mm out. Cautious: 500 + 50 (10 %) + 100 (joint) + 100 (hatch) + 30 (servo) = 780.

    At the least: 500 + 25 (5 %) + 50 + 50 + 20 = 645. The ESC is no servo: 750 and 625.
    """
    plan = plan_of(WING)
    need = needed_run(plan, "aileron", "rx")
    assert need is not None
    assert (need.needed, need.least) == (780.0, 645.0)
    assert need.places == ("wing", "body")
    esc = needed_run(plan, "esc", "rx")
    assert esc is not None
    assert (esc.needed, esc.least) == (750.0, 625.0)


@pytest.mark.parametrize("kind", ["self-contained", "bare-motor"])
def test_a_leg_asks_for_what_a_servo_asks_for(kind: str) -> None:
    """It too is unscrewed with its lead on (common practice): 780 and 645 as the aileron's."""
    legs = f"retracts: {{leg: {{kind: {kind}, place: wing}}}}\nloads: {{lamp: {{place: wing}}}}\n"
    plan = plan_of(WING + legs)
    need, lamp = (needed_run(plan, name, "rx") for name in ("leg", "lamp"))
    assert need is not None and lamp is not None
    assert (need.needed, need.least) == (780.0, 645.0)
    assert (lamp.needed, lamp.least) == (750.0, 625.0)


def test_two_hatches_and_no_joint() -> None:
    """Tail to body 700: 700 + 70 + 100 + 100 + 30 = 1000; at the least 700 + 35 + 50 + 50 + 20."""
    need = needed_run(plan_of(WING), "rudder", "rx")
    assert need is not None
    assert (need.needed, need.least) == (1000.0, 855.0)


def test_a_joint_made_for_good_wants_no_slack() -> None:
    """500 + 50 + 100 (hatch) + 30 (servo): nobody pulls the plug out past a glued joint."""
    plan = plan_of(WING.replace("joins: body,", "joins: body, joined: for-good,"))
    need = needed_run(plan, "aileron", "rx")
    assert need is not None
    assert need.needed == 680.0


def test_have_is_the_sum_of_all_leads_of_a_run() -> None:
    """Own 250 + extension 600 = 850. ESC wires 550 + the pack's own 100 = 650; motor wires 80."""
    found = runs(WING)
    have = {name: m.have for name, m in found.items()}
    assert have == {"aileron": 850.0, "rudder": 850.0, "esc": 450.0, "esc.supply": 650.0,
                    "motor": 80.0}  # fmt: skip
    assert found["aileron"].spare == 70.0
    assert found["rudder"].spare == -150.0


def test_verdicts() -> None:
    """Against 500 bare and 780 with slack; the ESC's 450 mm do not even reach."""
    found = runs(WING)
    told = {name: m.verdict for name, m in found.items()}
    assert told == {"aileron": "enough", "rudder": "tight", "esc": "short", "esc.supply": "tight",
                    "motor": "enough"}  # fmt: skip


@pytest.mark.parametrize(
    ("length", "verdict"), [(529, "tight"), (530, "enough"), (250, "tight"), (249, "short")]
)
def test_the_bounds_themselves_are_enough(length: int, verdict: str) -> None:
    """250 + 530 = 780 and 250 + 250 = 500, exactly."""
    text = WING.replace("plug: rx.1, length: 600 mm", f"plug: rx.1, length: {length} mm")
    assert runs(text)["aileron"].verdict == verdict


def test_a_lead_of_unknown_length_leaves_what_is_needed() -> None:
    text = WING.replace("plug: rx.1, length: 600 mm", "plug: rx.1")
    one = runs(text)["aileron"]
    assert one.need is not None
    assert (one.verdict, one.have, one.need.needed) == ("open", None, 780.0)
    assert [piece.part.id for piece in one.unmeasured] == ["ext"]


def test_what_is_not_plugged_in_is_meant_for_the_only_receiver() -> None:
    text = WING.replace("length: 250 mm, plug: ext.1", "length: 250 mm")
    one = runs(text)["aileron"]
    assert one.run.host is not None
    assert one.run.host.id == "rx"
    assert (one.have, one.verdict) == (None, "open")
    (offer,) = [o for o in offers(plan_of(text), [one]) if o]
    assert offer.extra == 780.0 - 250.0
    assert offer.add is not None
    assert offer.add.pieces == (600.0,)


def test_stock_lengths_are_the_trades() -> None:
    plan = plan_of(WING)
    assert stock_lengths(plan) == STOCK
    assert [next_stock(plan, x) for x in (1, 100, 100.1, 780, 1000, 1000.1)] == [
        100, 100, 150, 900, 1000, None,
    ]  # fmt: skip


def _exhaustive(extra: float, shop: tuple[float, ...], drawer: Counter[float], most: int) -> object:
    """Try every multiset of pieces, the drawer's as single pieces; the ranking as it is told."""
    found = []
    for count in range(1, most + 1):
        for pieces in combinations_with_replacement(sorted({*shop, *drawer}, reverse=True), count):
            bought = Counter(pieces) - drawer
            if sum(pieces) >= extra and all(length in shop for length in bought):
                order = tuple(-p for p in pieces)
                found.append((count, sum(bought.values()), sum(pieces), order, pieces))
    return min(found)[-1] if found else None


@pytest.mark.parametrize("seed", range(150))
def test_extensions_against_exhaustive_search(seed: int) -> None:
    rng = random.Random(seed)
    shop = tuple(rng.sample(STOCK, rng.randint(1, 6)))
    pool = (*STOCK, 120.0, 333.0, 510.0)
    drawer = Counter(rng.choice(pool) for _ in range(rng.randint(0, 4)))
    extra = float(rng.randint(1, 3200))
    found = choose(extra, shop, drawer, 4)
    assert (found.pieces if found else None) == _exhaustive(extra, shop, drawer, 4)


def test_the_drawer_comes_before_the_shop_but_not_before_fewer_pieces() -> None:
    """For 250 mm: one of 300 to buy against two of 150 in the drawer; one of 450 there is best."""
    assert choose(250, STOCK, Counter({150.0: 2}), 4).pieces == (300.0,)  # type: ignore[union-attr]
    there = choose(250, STOCK, Counter({450.0: 1}), 4)
    assert there is not None
    assert (there.pieces, there.bought) == ((450.0,), ())


def test_one_piece_of_the_drawer_goes_to_one_run_only() -> None:
    text = """
places: {a: {at: 0 mm}, b: {in: a, at: 400 mm}}
receivers: {rx: {sockets: 4, place: a}}
servos:
  s: {place: b, length: 250 mm}
  t: {place: b, length: 250 mm}
kit: [{kind: extension, length: 450 mm, spare: yes}]
"""
    plan = plan_of(text)
    found = offers(plan, lengths_of(build(plan)))
    assert [(o.add.pieces, o.add.bought) for o in found if o and o.add] == [
        ((450.0,), ()), ((300.0,), (300.0,)),
    ]  # fmt: skip


def test_a_thin_extension_of_the_drawer_is_left_there() -> None:
    """An extension is at least as thick as the servo's own lead (common practice)."""
    text = """
places: {a: {at: 0 mm}, b: {in: a, at: 400 mm}}
receivers: {rx: {sockets: 4, place: a}}
servos: {s: {place: b, length: 250 mm, wire: 22 AWG}}
kit: [{kind: extension, length: 300 mm, wire: 26 AWG, spare: yes}]
"""
    plan = plan_of(text)
    (offer,) = offers(plan, lengths_of(build(plan)))
    assert offer is not None
    assert offer.add is not None
    assert offer.add.bought == (300.0,)


def test_swapping_the_extension_makes_no_joint() -> None:
    """150 mm wanting in a run with an extension of 600: one of 900 does (750 is no stock)."""
    plan = plan_of(WING)
    measured = [m for m in lengths_of(build(plan)) if m.run.name == "rudder"]
    (offer,) = offers(plan, measured)
    assert offer is not None
    assert offer.swap == ("long", 900.0)


def plugs(text: str, run: str) -> tuple[Plug, ...]:
    return plugs_on(plan_of(text), runs(text)[run])


def test_where_a_plug_lies() -> None:
    """Way 700, own lead 250, extension 600: from 700 - 600 = 100 to 250 mm from the servo.

    The boom is those 700 mm from end to end, so the plug cannot be kept out of it. With an
    extension of 900 mm it can lie at the servo itself.
    """
    (one,) = plugs(WING, "rudder")
    assert (one.nearest, one.furthest, one.duct) == (100.0, 250.0, "boom")
    (free,) = plugs(WING.replace("rx.2, length: 600", "rx.2, length: 900"), "rudder")
    assert (free.nearest, free.furthest, free.duct) == (0.0, 250.0, "")


def test_a_duct_across_a_joint_that_comes_off_hides_nothing() -> None:
    text = WING.replace("ducts: {", "ducts: {root: {between: [body, wing]}, ")
    text = text.replace("rx.1, length: 600", "rx.1, length: 450")
    (one,) = plugs(text, "aileron")
    assert (one.nearest, one.furthest, one.duct) == (50.0, 250.0, "")
    (glued,) = plugs(text.replace("joins: body", "joins: body, joined: for-good"), "aileron")
    assert glued.duct == "root"


@pytest.mark.parametrize(
    ("own", "ext", "off"), [(250, 900, -450.0), (900, 250, 0.0), (600, 600, -100.0)]
)
def test_a_plug_made_in_a_stated_place(own: int, ext: int, off: float) -> None:
    """To be plugged in the body, 700 mm of boom away: 250 mm are 450 short, 600 are 100 short."""
    text = WING.replace("rudder: {place: tail, length: 250 mm, plug: long.1}",
                        f"rudder: {{place: tail, length: {own} mm, "
                        "plug: {into: long.1, in: body}}")  # fmt: skip
    text = text.replace("rx.2, length: 600", f"rx.2, length: {ext}")
    (one,) = plugs(text, "rudder")
    assert one.off == pytest.approx(off)


def test_a_fork_with_two_sources_has_two_runs() -> None:
    text = """
places: {a: {at: 0 mm}, b: {in: a, at: 200 mm}}
packs:
  low: {place: a, chemistry: lipo, cells: 3, length: 50 mm}
  high: {like: low}
power-leads: {stack: {kind: series, supply: [low, high], length: 150 mm}}
escs: {esc: {place: b, supply: stack, length: 120 mm}}
"""
    found = [m for m in lengths_of(build(plan_of(text))) if m.run.port.name == "supply"]
    assert [(m.run.host.id, m.have) for m in found if m.run.host] == [
        ("low", 320.0),
        ("high", 320.0),
    ]
