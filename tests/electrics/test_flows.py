"""Solved currents of small plans, by hand: Kirchhoff's and Ohm's laws.

A stalled servo is a resistor (its stall current at 6 V, common practice, no source); 30 % of the
stalls flow for good and all of them for seconds (common practice, no source).
"""

from __future__ import annotations

import pytest
from electrics.heating import wire_ohms
from scipy.optimize import brentq
from support import plan_of

from harness.electrics.flows import Flows, flows_of
from harness.wiring.build import build

RX = "receivers:\n  rx: {sockets: 8, supply-sockets: 2}\n"
RECEIVER_A = 0.1  # 100 mA, the upper value of 30 to 100 mA (common practice, no source)
CONTACT = 0.015  # ohm, 10 to 20 mohm a 3-pin contact (common practice, no source)
OUTPUT = 0.030  # ohm behind a switching supply: an assumption of the catalogue

SERVOS = """
servos:
  a: {moves: aileron, stall: 2 A, moving: 0.5 A, wire: 22 AWG, length: 300 mm, plug: aileron-y.1}
  b: {moves: aileron, stall: 2 A, moving: 0.5 A, wire: 22 AWG, length: 300 mm, plug: aileron-y.2}
  f: {moves: flap, stall: 1 A, moving: 0.2 A, wire: 22 AWG, length: 300 mm, plug: rx.6}
leads:
  aileron-y: {kind: y, plug: rx.1, wire: 22 AWG, length: 200 mm}
"""
ONE = (
    RX
    + SERVOS
    + "regulators:\n"
    + "  reg: {volts: 6 V, rated: 10 A, wire: 20 AWG, length: 150 mm, plug: rx.batt-1}\n"
)
TWO = ONE.replace("plug: rx.batt-1", "plug: [rx.batt-1, rx.batt-2]")


def flows(text: str) -> Flows:
    return flows_of(build(plan_of(text)))


def rail_amps(share: float) -> dict[str, float]:
    """The currents of ONE with every servo at a share of its stall: a ladder of resistors.

    Each wire as warm as its own current makes it in air of 20 degC, found by going round.
    """
    found = {"stem": 0.0, "flap": 0.0, "all": 0.0}
    for _ in range(8):
        arm = found["stem"] / 2
        own = wire_ohms("22 AWG", 300, arm) + 2 * CONTACT
        # a servo on its own branch of the Y
        each = 6 / (share * 2) + own + wire_ohms("22 AWG", 200, arm)
        pair = each / 2 + 2 * CONTACT
        flap = 6 / share + wire_ohms("22 AWG", 300, found["flap"]) + 2 * CONTACT
        before = OUTPUT + wire_ohms("20 AWG", 150, found["all"]) + 2 * CONTACT
        siemens = 1 / pair + 1 / flap
        rail = (6 - RECEIVER_A * before) / (1 + before * siemens)
        found = {"stem": rail / pair, "flap": rail / flap, "all": rail * siemens + RECEIVER_A}
    return found


def test_a_ladder_by_hand() -> None:
    found, expected = flows(ONE), rail_amps(0.3)
    assert found.port("aileron-y", "plug").steady == pytest.approx(expected["stem"], rel=1e-5)
    assert found.port("f", "plug").steady == pytest.approx(expected["flap"], rel=1e-5)
    assert found.by_source["reg"].steady == pytest.approx(expected["all"], rel=1e-5)
    assert found.by_source["reg"].steady_case == "full-throttle"


def test_what_moves_together_stalls_while_the_rest_moves() -> None:
    found = flows(ONE)
    total = found.by_source["reg"]
    assert total.burst_case == "hard-manoeuvre"
    assert found.port("f", "plug").burst_case == "flap-stalled"
    stem = found.port("aileron-y", "plug").burst
    assert stem < 2 + 2
    # Kirchhoff: the flap moves freely, 0.2 A
    assert total.burst == pytest.approx(stem + 0.2 + RECEIVER_A, rel=1e-6)


def test_a_y_adds_and_names_its_parts() -> None:
    found = flows(ONE)
    stem, arms = found.port("aileron-y", "plug"), [found.port(n, "plug") for n in "ab"]
    assert stem.steady == pytest.approx(sum(arm.steady for arm in arms), rel=1e-6)
    # one held fast alone has more volts than two of them
    assert arms[1].burst_case == "jammed"
    assert arms[1].burst > stem.burst / 2
    assert stem.parts == ["a", "b"]
    assert sum(stem.peaks.values()) == pytest.approx(stem.burst, rel=1e-6)
    assert sum(stem.steadies.values()) == pytest.approx(stem.steady, rel=1e-6)


def test_two_plugs_of_a_regulator_share_evenly_and_raise_the_rail() -> None:
    one, two = flows(ONE), flows(TWO)
    whole = two.by_source["reg"].steady
    assert whole > one.by_source["reg"].steady
    for port in ("plug-1", "plug-2"):
        assert two.port("reg", port).steady == pytest.approx(whole / 2, rel=1e-6)
        assert two.inward("rx", "batt-1")
    assert not two.inward("rx", "1")
    assert two.through("rx").steady == pytest.approx(whole, rel=1e-6)


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
    whole = found.port("j", "1").steady
    assert [found.by_source[p].steady for p in "pq"] == pytest.approx([whole / 2] * 2)
    assert found.port("j", "in-1").steady == pytest.approx(whole / 2)
    assert found.given_by(["p", "q"]).steady == pytest.approx(whole)


def test_a_series_stack_carries_the_same_at_every_level() -> None:
    found = flows(PACKS % "series")
    whole = found.port("e", "supply").steady
    assert [found.by_source[p].steady for p in "pq"] == pytest.approx([whole] * 2)


def test_a_motor_by_hand() -> None:
    """30 A at 11.1 V, 20 mohm, 1 A without a load; worst with a full pack on a hot day, 40 degC.

    The equations of motor, propeller and pack by an independent solver: own volts E of the motor,
    I = I0 + c E^2, E + (R + wires) I = 12.6 V; copper as warm as its own current makes it.
    """
    text = PACKS.replace("supply: j", "supply: p, connector: AS150, wire: 10 AWG, length: 100 mm")
    text = text.replace("30 A,", "30 A, resistance: 20 mohm, no-load: 1 A,")
    text = text.partition("power-leads")[0].replace(
        "2 Ah}", "2 Ah, cell-resistance: 12 mohm, connector: AS150, wire: 10 AWG, length: 100 mm}"
    )
    load, amps = (30 - 1) / (3 * 3.7 - 0.02 * 30) ** 2, 0.0
    for _ in range(8):
        whole = 3 * 0.012 + 2 * 0.25e-3 + 2 * wire_ohms("10 AWG", 100, amps, 40) + 0.02
        own = brentq(lambda e, r=whole: e + r * (1 + load * e**2) - 12.6, 0, 12.6, xtol=1e-14)
        amps = 1 + load * own**2
    flow = flows(text).port("e", "supply")
    assert flow.steady == pytest.approx(amps, rel=1e-5)
    assert flow.steady_case == "hot"


BEC = RX + SERVOS + (
    "escs:\n  e: {bec: {kind: %s, volts: 5 V}, plug: rx.3, supply: p}\n"
    "packs:\n  p: {chemistry: lipo, cells: 3, capacity: 2 Ah}\n"
)  # fmt: skip


def test_what_a_bec_takes_from_the_pack() -> None:
    """Linear: what goes out comes in, and 10 mA of its own (memory). Switching: less."""
    linear, switching = flows(BEC % "linear"), flows(BEC % "switching")
    out = linear.by_source["e"].steady
    assert linear.by_source["p"].steady == pytest.approx(out + 0.010, rel=1e-5)
    # 5 V of some 11.9 V at 85 % (common practice, no source)
    ratio = switching.by_source["p"].steady / switching.by_source["e"].steady
    assert ratio == pytest.approx(5 / 11.9 / 0.85, rel=0.03)


@pytest.mark.parametrize("names", [("a-reg", "z-reg"), ("z-reg", "a-reg")])
def test_a_regulator_behind_a_regulator(names: tuple[str, str]) -> None:
    first, second = names
    found = flows(
        f"loads:\n  lamp: {{current: 2 A, supply: {second}.out}}\nregulators:\n"
        f"  {first}: {{kind: linear, volts: 8 V, supply: p}}\n"
        f"  {second}: {{kind: linear, volts: 5 V, supply: {first}.out}}\n"
        "packs:\n  p: {chemistry: lipo, cells: 3, capacity: 2 Ah}\n"
    )
    steady = [found.by_source[n].steady for n in ("p", *names)]
    assert steady == pytest.approx([2.020, 2.010, 2], rel=1e-6)  # 10 mA of each (memory)


def test_two_becs_on_one_rail_share() -> None:
    found = flows(
        RX + SERVOS + "escs:\n  e: {bec: {volts: 5 V}, plug: rx.3}\n"
        "  f2: {bec: {volts: 5 V}, plug: rx.4}\n"
    )
    one, other = (found.by_source[n].steady for n in ("e", "f2"))
    assert one == pytest.approx(other, rel=1e-6)
    assert found.given_by(["e", "f2"]).steady == pytest.approx(one + other, rel=1e-6)


def test_a_diode_lets_nothing_back() -> None:
    """A lamp before the diode is fed by its own supply alone; the higher source feeds the rail.

    The transistor of an ideal diode leaks about a milliampere as it is modelled.
    """
    found = flows(
        "receivers:\n  rx: {sockets: 2, supply-sockets: 2}\n"
        "loads:\n  lamp: {current: 1 A, plug: split.2}\n"
        "leads:\n  split: {kind: y, plug: d1.1}\n"
        "diodes:\n  d1: {kind: ideal, plug: rx.batt-1}\n  d2: {kind: ideal, plug: rx.batt-2}\n"
        "packs:\n  p: {chemistry: lipo, cells: 2, capacity: 2 Ah, plug: d2.1}\n"
        "regulators:\n  reg: {volts: 5 V, plug: split.1}\n"
    )
    assert found.by_source["p"].steady == pytest.approx(RECEIVER_A, abs=2e-3)
    assert found.by_source["reg"].steady == pytest.approx(1, abs=2e-3)
    assert found.port("d1", "plug").steady == pytest.approx(0, abs=2e-3)


def test_a_pulled_pin_carries_nothing() -> None:
    found = flows(ONE.replace("plug: rx.batt-1", "plug: {into: rx.batt-1, pulled: positive}"))
    assert found.by_source["reg"].steady == 0
    assert not found.by_source["reg"].live
    assert set(found.unfed) == {"a", "b", "f", "rx"}


def test_what_nobody_knows_is_kept_as_missing() -> None:
    found = flows(RX + "servos:\n  s: {plug: rx.1}\nregulators:\n  reg: {volts: 6 V, plug: rx.2}\n")
    assert [d.part.id for d in found.by_source["reg"].missing] == ["s"]
    assert found.port("s", "plug").live


def test_a_supply_with_nothing_but_an_unknown_load_is_live() -> None:
    found = flows("loads:\n  l: {supply: r.out}\nregulators:\n  r: {volts: 6 V}\n")
    assert [d.part.id for d in found.by_source["r"].missing] == ["l"]


def test_a_bare_motor_leg_draws_from_the_box_that_drives_it() -> None:
    found = flows(
        RX + "retracts:\n  leg: {kind: bare-motor, running: 1 A, stop: 2 A, plug: box.leg}\n"
        "sequencers:\n  box: {plug: rx.5, outlets: [leg], motor-outlets: leg}\n"
        "regulators:\n  reg: {volts: 6 V, plug: rx.batt-1}\n"
    )
    assert found.port("box", "leg").burst == pytest.approx(2)
    assert found.port("box", "plug").parts == ["box", "leg"]
    assert found.unfed == ()


def test_packs_shorted_by_copper_are_not_judged() -> None:
    text = (PACKS % "parallel").replace("cells: 3, capacity: 2 Ah}\npower", "cells: 4}\npower")
    found = flows(text)
    assert found.shorted
    assert found.by_source == {}
    assert found.port("j", "1").steady == 0
    assert found.trouble == {}
