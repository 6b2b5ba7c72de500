"""Sums of current on plans small enough to add up by hand.

Stall currents are stated in the plans; "continuously" is 30 % of the stalls (common practice, no
source), so the expected figures are that arithmetic, written out beside each check. Conservation
(what the sources give is what the parts draw) is Kirchhoff's current law.
"""

from __future__ import annotations

import pytest
from support import plan_of

from harness.wiring.build import build
from harness.wiring.flows import Flows, flows_of

RX = "receivers:\n  rx: {sockets: 8, supply-sockets: 2}\n"
RECEIVER_A = 0.1  # 100 mA, the upper value of 30 to 100 mA (common practice, no source)


def flows(text: str) -> Flows:
    return flows_of(build(plan_of(text)))


def drawn(found: Flows) -> float:
    """The sum of all draws of the control side."""
    return sum(d.steady for f in found.demands.values() for d in f.shares if d.inside != "battery")


SERVOS = """
servos:
  a: {moves: aileron, stall: 2 A, moving: 0.5 A, plug: aileron-y.1}
  b: {moves: aileron, stall: 2 A, moving: 0.5 A, plug: aileron-y.2}
  f: {moves: flap, stall: 1 A, moving: 0.2 A, plug: rx.6}
leads:
  aileron-y: {kind: y, plug: rx.1}
"""
ONE = RX + SERVOS + "regulators:\n  reg: {volts: 6 V, rated: 10 A, plug: rx.batt-1}\n"
TWO = ONE.replace("plug: rx.batt-1", "plug: [rx.batt-1, rx.batt-2]")
LONG = TWO.replace("rx.batt-2]", "ext.1]") + "  \n"
LONG = LONG.replace("leads:\n", "leads:\n  ext: {kind: extension, plug: rx.batt-2}\n")


def test_a_y_adds() -> None:
    found = flows(ONE)
    stem = found.port("aileron-y", "plug")
    assert stem.steady == pytest.approx(0.3 * 2 + 0.3 * 2)
    assert stem.burst == pytest.approx(2 + 2)
    assert found.port("aileron-y", "1").burst == pytest.approx(2)
    assert stem.parts == ["a", "b"]


def test_the_worst_group_stalls_while_the_rest_moves() -> None:
    total = flows(ONE).by_source["reg"]
    assert total.steady == pytest.approx(0.3 * (2 + 2 + 1) + RECEIVER_A)
    assert total.burst == pytest.approx(2 + 2 + 0.2 + RECEIVER_A)
    assert total.worst_group() == "flight"


def test_one_plug_carries_the_whole_rail() -> None:
    found = flows(ONE)
    assert found.port("reg", "plug").steady == pytest.approx(found.by_source["reg"].steady)


@pytest.mark.parametrize("text", [TWO, LONG], ids=["side by side", "one by an extension"])
def test_two_plugs_of_a_regulator_share_evenly(text: str) -> None:
    found = flows(text)
    whole = 0.3 * 5 + RECEIVER_A
    assert found.by_source["reg"].steady == pytest.approx(whole)
    for port in ("plug-1", "plug-2"):
        assert found.port("reg", port).steady == pytest.approx(whole / 2)
        assert found.port("reg", port).burst == pytest.approx((2 + 2 + 0.2 + RECEIVER_A) / 2)
    # Past the rail the ways are one again.
    assert found.port("aileron-y", "plug").steady == pytest.approx(1.2)


PACKS = """
motors:
  m: {full-throttle: 30 A, plug: e}
escs:
  e: {bec: none, supply: j}
packs:
  p: {chemistry: lipo, cells: 3, capacity: 2 Ah}
  q: {chemistry: lipo, cells: 3, capacity: 2 Ah}
power-leads:
  j: {kind: %s, supply: [p, q]}
"""


def test_parallel_packs_share() -> None:
    found = flows(PACKS % "parallel")
    assert [found.by_source[p].steady for p in "pq"] == pytest.approx([15, 15])
    assert found.port("j", "in-1").steady == pytest.approx(15)
    assert found.port("j", "1").steady == pytest.approx(30)


def test_a_series_stack_carries_the_same_at_every_level() -> None:
    found = flows(PACKS % "series")
    assert [found.by_source[p].steady for p in "pq"] == pytest.approx([30, 30])
    assert [found.port("j", f"in-{n}").steady for n in (1, 2)] == pytest.approx([30, 30])


def test_two_stacks_side_by_side() -> None:
    found = flows(
        "motors:\n  m: {full-throttle: 30 A, plug: e}\nescs:\n  e: {bec: none, supply: par}\n"
        "packs:\n"
        + "".join(f"  p{n}: {{chemistry: lipo, cells: 3, capacity: 2 Ah}}\n" for n in range(4))
        + "power-leads:\n  s1: {kind: series, supply: [p0, p1]}\n"
        "  s2: {kind: series, supply: [p2, p3]}\n  par: {kind: parallel, supply: [s1, s2]}\n"
    )
    assert [found.by_source[f"p{n}"].steady for n in range(4)] == pytest.approx([15] * 4)


BEC = (
    RX
    + SERVOS
    + (
        "escs:\n  e: {bec: {kind: %s, volts: 5 V}, plug: rx.3, supply: p}\n"
        "packs:\n  p: {chemistry: lipo, cells: 3, capacity: 2 Ah}\n"
    )
)
OUT = 0.3 * 5 + RECEIVER_A


@pytest.mark.parametrize(
    ("kind", "ratio"),
    [
        ("linear", 1.0),  # what goes out comes in; the volts between are heat
        # 5 V of 3 * 3.7 V (PX4 user guide) at 85 % (common practice, no source)
        ("switching", 5 / 11.1 / 0.85),
    ],
)
def test_what_a_bec_takes_from_the_pack(kind: str, ratio: float) -> None:
    found = flows(BEC % kind)
    assert found.by_source["e"].steady == pytest.approx(OUT)
    assert found.by_source["p"].steady == pytest.approx(OUT * ratio)


@pytest.mark.parametrize("names", [("a-reg", "z-reg"), ("z-reg", "a-reg")])
def test_a_regulator_behind_a_regulator(names: tuple[str, str]) -> None:
    first, second = names
    found = flows(
        f"loads:\n  lamp: {{current: 2 A, supply: {second}.out}}\nregulators:\n"
        f"  {first}: {{kind: linear, volts: 8 V, supply: p}}\n"
        f"  {second}: {{kind: linear, volts: 5 V, supply: {first}.out}}\n"
        "packs:\n  p: {chemistry: lipo, cells: 3, capacity: 2 Ah}\n"
    )
    assert [found.by_source[n].steady for n in ("p", *names)] == pytest.approx([2, 2, 2])


@pytest.mark.parametrize("text", [ONE, TWO, LONG, BEC % "linear", BEC % "switching"])
def test_the_sources_of_the_rail_give_what_the_parts_draw(text: str) -> None:
    """Kirchhoff's current law."""
    found = flows(text)
    given = sum(f.steady for n, f in found.by_source.items() if n in {"reg", "e"})
    assert given == pytest.approx(drawn(found))
    rail = found.through(next(c for c in found.demands if c.part == "rx"))
    assert rail.steady == pytest.approx(drawn(found))


def test_two_becs_on_one_rail_share() -> None:
    found = flows(
        RX + SERVOS + "escs:\n  e: {bec: {volts: 5 V}, plug: rx.3}\n"
        "  f2: {bec: {volts: 5 V}, plug: rx.4}\n"
    )
    assert [found.by_source[n].steady for n in ("e", "f2")] == pytest.approx([OUT / 2, OUT / 2])
    assert found.port("a", "plug").steady == pytest.approx(0.6)


def test_a_diode_lets_nothing_back() -> None:
    """A load before the diode is fed by its own pack alone; the rail by both."""
    found = flows(
        "receivers:\n  rx: {sockets: 2, supply-sockets: 2}\n"
        "loads:\n  lamp: {current: 1 A, plug: split.2}\n"
        "leads:\n  split: {kind: y, plug: d1.1}\n"
        "diodes:\n  d1: {kind: ideal, plug: rx.batt-1}\n  d2: {kind: ideal, plug: rx.batt-2}\n"
        "packs:\n  p: {chemistry: nimh, cells: 5, plug: d2.1}\n"
        "regulators:\n  reg: {volts: 6 V, plug: split.1}\n"
    )
    assert found.by_source["p"].steady == pytest.approx(RECEIVER_A / 2)
    assert found.by_source["reg"].steady == pytest.approx(RECEIVER_A / 2 + 1)


def test_a_pulled_pin_carries_nothing() -> None:
    found = flows(ONE.replace("plug: rx.batt-1", "plug: {into: rx.batt-1, pulled: positive}"))
    assert found.by_source["reg"].steady == 0
    assert found.unfed == ["a", "b", "f", "rx"]


def test_what_nobody_knows_is_kept_as_missing() -> None:
    found = flows(RX + "servos:\n  s: {plug: rx.1}\nregulators:\n  reg: {volts: 6 V, plug: rx.2}\n")
    assert [d.part.id for d in found.by_source["reg"].missing] == ["s"]


def test_a_bare_motor_leg_draws_from_the_box_that_drives_it() -> None:
    found = flows(
        RX + "retracts:\n  leg: {kind: bare-motor, running: 1 A, stop: 2 A, plug: box.leg}\n"
        "sequencers:\n  box: {plug: rx.5, outlets: [leg], motor-outlets: leg}\n"
        "regulators:\n  reg: {volts: 6 V, plug: rx.batt-1}\n"
    )
    assert found.port("box", "leg").burst == pytest.approx(2)
    assert found.port("box", "plug").parts == ["box", "leg"]
    assert found.unfed == []
