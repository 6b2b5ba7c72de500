"""Endurance against sums by hand: flat cells, constant power, energy in and out.

Minutes = Ah * 0.8 * 60 / mean amperes (common practice, no source). 6 cells of 4.5 Ah hold 99.9 Wh,
5 Ah 111 Wh; up to 100 Wh may travel without approval (TSA).
"""

from __future__ import annotations

import numpy as np
import pytest
from electrics.heating import wire_ohms
from scipy.optimize import brentq
from support import plan_of

from harness.electrics.cases import OperatingCase
from harness.electrics.discharge import Abreast, Drain, Point, real_roots
from harness.electrics.endurance import Endurance, Flight, Tour, endurance
from harness.electrics.flight_modes import (
    AGED,
    AGING,
    BEFOREHAND,
    BY_CHANCE,
    COLD,
    HAND,
    LOSSY,
    TYPICAL,
    WORSE,
    Mode,
    landing,
    worst_mode,
)
from harness.electrics.packs import energies, motor_packs, packs_of
from harness.plan.load import load_plan
from harness.wiring.build import build

FLAT = ", ".join(f"ocv-{n}: 3.7 V" for n in range(0, 101, 10))
CELL = f"classes: {{packs: {{flat: {{nominal: 3.7 V, full: 3.7 V, empty: 3.7 V, {FLAT}}}}}}}\n"
LAMP = """
packs: {p: {chemistry: flat, cells: 2, capacity: 5 Ah, cell-resistance: 10 mohm, connector: XT60}}
loads: {lamp: {current: 2 A, supply: p, connector: XT60}}
flight: [{phase: on, time: 60 s}]
"""
MOTOR = """
packs: {{p: {{chemistry: {chemistry}, cells: 4, capacity: {ah} Ah, cell-resistance: {ohms} mohm}}}}
motors: {{m: {{full-throttle: {amps} A, plug: esc, full-throttle-volts: 14.8 V}}}}
escs: {{esc: {{bec: none, supply: p}}}}
{more}
"""


def flown(text: str) -> Endurance:
    return endurance(build(plan_of(text)))


def motor(
    chemistry: str = "lipo", ah: float = 5, ohms: float = 2, amps: float = 40, more: str = ""
) -> str:
    return CELL + MOTOR.format(chemistry=chemistry, ah=ah, ohms=ohms, amps=amps, more=more)


def test_a_constant_current_from_flat_cells() -> None:
    flight = flown(CELL + LAMP).flight("typical")
    # 5 Ah x 0.8 / 2 A = 2 h: reserve 20 % (the catalogue has none for a class of the plan's own)
    assert flight.lasts == pytest.approx(5 * 0.8 / 2 * 3600, rel=1e-6)
    [pack] = flight.packs
    assert (pack.motor, pack.milliamp_hours) == (False, pytest.approx(4000, rel=1e-6))
    assert pack.simple == pytest.approx(flight.lasts, rel=1e-6)
    assert pack.watt_hours == pytest.approx(4 * 7.4, rel=1e-6)
    assert flight.volts["p"] == pytest.approx(np.full(len(flight.times), 7.4 - 2 * 0.02), rel=1e-6)


@pytest.mark.parametrize(("word", "reserve"), [("reserve: 30 %\n", 0.3), ("reserve: 0 %\n", 0.0)])
def test_the_stated_reserve(word: str, reserve: float) -> None:
    flight = flown(word + CELL + LAMP).flight("typical")
    assert flight.lasts == pytest.approx(5 * (1 - reserve) / 2 * 3600, rel=1e-6)
    assert flight.charge["p"][-1] == pytest.approx(reserve, abs=1e-9)


def law(volts: float, duty: float, full: float = 40) -> float:
    """Pack current of a motor read at `full` A and 14.8 V: the equations by an independent solver.

    Winding 6 %, no load 4 %, switching 4 % (memory, the catalogue's).
    """
    r, i0 = 0.06 * 14.8 / full, 0.04 * full
    load = (full - i0) / (14.8 - r * full) ** 2
    own = brentq(lambda e: e + r * (i0 + load * e**2) - duty * volts, 0, duty * volts)
    return (duty + 0.04 * (1 - duty)) * (i0 + load * float(own) ** 2)


def test_a_motor_on_flat_cells() -> None:
    """The same current all the time: where pack and motor agree."""
    text = motor("flat", ohms=10, more="flight: [{phase: go, time: 60 s, throttle: 100 %}]")
    wire = "wire: 14 AWG, length: 150 mm"
    text = text.replace("4, capacity", f"4, {wire}, capacity").replace(
        "supply: p", f"supply: p, {wire}"
    )
    # 4 cells; 2 x 150 mm of 14 AWG there and back, as warm as it gets; 2 contacts of 1 mohm
    emf = 4 * 3.7
    for full in (40, 20):
        flight = flown(text.replace("40 A", f"{full} A")).flight("typical")
        amps = 0.0
        for _ in range(8):
            ohms = 4 * 0.01 + wire_ohms("14 AWG", 300, amps) + 2 * 0.001
            volts = brentq(lambda v, r=ohms, a=full: v + r * law(v, 1.0, a) - emf, 1, emf)
            amps = law(float(volts), 1.0, full)
        assert flight.amps["p"] == pytest.approx(np.full(len(flight.times), amps), rel=1e-3)
        assert flight.lasts == pytest.approx(5 * 0.8 * 3600 / flight.amps["p"][0], rel=1e-6)


@pytest.mark.parametrize("throttle", [50, 80, 100])
def test_the_rule_of_thumb_at_the_highest_and_the_lowest_volts(throttle: int) -> None:
    """More volts draw more: the minutes lie between those at either end."""
    more = f"flight: [{{phase: go, time: 60 s, throttle: {throttle} %}}]"
    flight = flown(motor(more=more)).flight("typical")
    volts = flight.volts["p"]
    least, most = (
        5 * 0.8 * 3600 / law(float(v), throttle / 100) for v in (volts.max(), volts.min())
    )
    assert flight.lasts is not None
    assert 0.99 * least < flight.lasts < 1.01 * most  # the wires take up to 1 % of the volts
    assert flight.first == "p"


@pytest.mark.parametrize("throttle", [60, 100])
def test_energy_from_the_cells_is_the_area_under_their_curve(throttle: int) -> None:
    """The integral of E dq over the charge, by the trapezium rule on the catalogue's own points."""
    more = f"flight: [{{phase: go, time: 60 s, throttle: {throttle} %}}]"
    plan = plan_of(motor(more=more))
    flight = endurance(build(plan)).flight("typical")
    rows = [plan.catalogue.number("packs", "lipo", f"ocv-{n}") for n in range(20, 101, 10)]
    area = 4 * 5 * 0.1 * (sum(rows) - (rows[0] + rows[-1]) / 2)
    assert flight.packs[0].watt_hours == pytest.approx(area, rel=2e-4)
    assert flight.packs[0].milliamp_hours == pytest.approx(5000 * 0.8, rel=1e-6)


def test_twice_the_capacity_lasts_twice_as_long() -> None:
    """With the cell resistance stated equal, the volts at each charge are the same."""
    more = "flight: [{phase: go, time: 60 s, throttle: 70 %}]"
    one, two = (flown(motor(ah=ah, more=more)).flight("typical").lasts for ah in (4, 8))
    assert one is not None
    assert two == pytest.approx(2 * one, rel=1e-4)


def test_two_half_packs_side_by_side_last_as_long_as_the_whole() -> None:
    more = "flight: [{phase: go, time: 60 s, throttle: 70 %}]"
    whole = motor("flat", ah=6, ohms=50, more=more)
    split = whole.replace("capacity: 6 Ah", "capacity: 3 Ah").replace("50 mohm}", "100 mohm}")
    split = split.replace("}}\nmotors", "}, q: {like: p}}\nmotors").replace(
        "supply: p", "supply: j.1"
    )
    split += "power-leads: {j: {kind: parallel, supply: [p, q], wire: 8 AWG, length: 10 mm}}\n"
    one, two = flown(whole).flight("typical"), flown(split).flight("typical")
    assert two.lasts == pytest.approx(one.lasts, rel=0.01)  # but for the lead in between
    assert two.amps["p"] == pytest.approx(two.amps["q"], rel=1e-6)


def test_packs_side_by_side_even_out_without_overshooting() -> None:
    """Two capacitors through a resistor (OpenStax, University Physics 2, 10.5) never swing over.

    0.3 Ah packs of 4 cells of 1 mohm even out in some three seconds, far less than a slice of 30 s.
    """
    text = motor("lipo", ah=0.3, ohms=1, amps=1, more="flight: [{phase: go, time: 9 min}]")
    text = text.replace("}}\nmotors", ", charge: 90 %}, q: {like: p, charge: 70 %}}\nmotors")
    text = text.replace("supply: p", "supply: j.1")
    text += "power-leads: {j: {kind: parallel, supply: [p, q], wire: 8 AWG, length: 10 mm}}\n"
    flight = flown(text).flight("typical")
    apart = flight.charge["p"] - flight.charge["q"]
    assert apart[0] == pytest.approx(0.2)
    held = 2 * 2e-5  # the charge of either pack is held to 2e-5 of a full one in every step
    assert np.all(np.diff(apart) < held)
    assert np.all(apart > -held)
    assert apart[flight.times > 300][0] < 0.02


PHASES = """
flight:
  - {phase: climb, time: 60 s, throttle: 100 %, case: full-throttle}
  - {phase: circuits, time: 3 min, throttle: 50 %}
  - {phase: landing, time: 1 min, throttle: 20 %}
"""


def test_phases_follow_each_other_and_the_longest_goes_on() -> None:
    flight = flown(motor(more=PHASES)).flight("typical")
    assert [(p.name, p.start, p.full, p.added) for p in flight.phases] == [
        ("climb", 0.0, True, False), ("circuits", 60.0, True, False),
        ("landing", 240.0, True, False), ("circuits", 300.0, False, True),
    ]  # fmt: skip
    assert [phase.case for phase in flight.phases] == ["full-throttle", *["cruise"] * 3]
    assert "after the last phase circuits goes on" in flight.assumed
    for phase in flight.phases:
        [pack] = phase.packs
        seconds = phase.end - phase.start
        assert pack.milliamp_hours == pytest.approx(pack.amps * seconds / 3.6, rel=1e-9)
        assert pack.lowest <= pack.end
    drawn = sum(phase.packs[0].milliamp_hours for phase in flight.phases)
    assert drawn == pytest.approx(4000, rel=1e-6)
    # at one and the same volts 1 / 8 without losses, more with them; the pack is fuller at first
    ratio = flight.phases[0].packs[0].amps / flight.phases[1].packs[0].amps
    assert ratio == pytest.approx(law(16, 1.0) / law(16, 0.5), rel=0.05)
    slices = np.diff(flight.times)
    assert slices.max() <= 30 + 1e-9
    assert max(np.diff(flight.times[flight.times <= 60])) <= 60 / 8 + 1e-9


def test_phases_not_reached_are_named() -> None:
    flight = flown(motor(ah=0.5, more=PHASES)).flight("typical")
    assert [(p.name, p.full) for p in flight.phases] == [("climb", False)]
    assert flight.missed == ("circuits", "landing")
    assert flight.lasts == pytest.approx(flight.phases[0].end)


def test_without_phases_or_a_mean_current_no_time_is_told() -> None:
    found = flown(motor())
    assert found.flights == ()
    assert (found.best, found.width, found.unknown) == (None, (), ())
    assert "flight: [{phase:" in found.untold
    assert "mean-current" in found.untold
    assert [energy.pack for energy in found.energies] == ["p"]


def test_a_stated_mean_current_is_reckoned_by_hand() -> None:
    """Minutes = Ah * 0.8 * 60 / mean amperes (common practice): 5 Ah and 16 A are 15 minutes."""
    found = flown(motor().replace("capacity: 5 Ah", "capacity: 5 Ah, mean-current: 16 A"))
    typical, worst = (found.flight(mode) for mode in ("typical", "worst"))
    assert typical.lasts == pytest.approx(15 * 60)
    # aged 80 % (our own), and 80 % in the cold (memory)
    assert worst.lasts == pytest.approx(0.8 * 0.8 * 15 * 60)
    assert typical.packs[0].milliamp_hours == pytest.approx(4000)
    assert typical.packs[0].motor
    assert [time / 900 for _, time in found.landing] == pytest.approx([1, 0.8, 0.8, 0.64])
    assert found.untold == ""


def test_the_worst_is_worse_by_the_aged_capacity_at_least() -> None:
    """At constant current the time goes with the capacity: 80 % (our own assumption)."""
    found = flown(CELL + LAMP)
    typical, worst = (found.flight(mode).lasts for mode in ("typical", "worst"))
    assert typical is not None
    # held 0.8: (1 - 0.2) of it is used; a class of the plan's own loses nothing in the cold
    assert worst == pytest.approx(AGED.number * typical, rel=1e-6)
    cold = flown(motor(ohms=10, more=PHASES))
    typical, worst = (cold.flight(mode).lasts for mode in ("typical", "worst"))
    assert typical is not None
    assert worst is not None
    assert worst < 0.8 * AGED.number * typical  # 80 % of the capacity in the cold (memory)


def test_a_band_and_where_its_width_comes_from() -> None:
    """Aged: a fifth less at least; in the cold a fifth too (memory); a hand on the throttle."""
    found = flown(motor(ohms=3, more=PHASES))
    typical, worst = (found.flight(mode).lasts or 0 for mode in ("typical", "worst"))
    assert found.best is not None
    assert worst < typical < found.best
    width = dict(found.width)
    assert set(width) == {AGING, COLD, LOSSY, HAND}  # it has no surfaces
    assert all(seconds > 0 for seconds in width.values())
    assert width[AGING] >= 0.2 * typical
    assert width[COLD] > 0.15 * typical
    assert max(width.values()) < typical - worst < sum(width.values())
    down = dict(found.landing)
    assert list(down) == ["", AGING, COLD, " and ".join(BEFOREHAND)]
    both = down[" and ".join(BEFOREHAND)]
    assert worst <= both < min(down[AGING], down[COLD]) < down[""] < typical
    # sooner than by any one of what nobody knows, later than by all of it
    alone = {word: typical - width[word] for word in BY_CHANCE if word in width}
    assert np.prod([time / typical for time in alone.values()]) <= down[""] / typical
    assert down[""] < min(alone.values())


@pytest.mark.parametrize("losses", [0.0, 0.05, 0.14])
@pytest.mark.parametrize("rest", [(0.0, 0.0), (0.09, 0.25), (0.2, 0.2), (0.0, 0.25)])
def test_by_when_to_be_down_holds_nineteen_times_in_twenty(
    losses: float, rest: tuple[float, float]
) -> None:
    """Propagated by Monte Carlo (JCGM 101): losses go either way, the rest only shortens."""
    words, typical, draw = BY_CHANCE, 1000.0, np.random.default_rng(7)
    spans = dict(zip(words, (losses, *rest), strict=True))
    alone = {word: typical * np.exp(-span) for word, span in spans.items() if span}
    down = landing(typical, alone, 700.0, 400.0, cut=False)
    low = {word: -1.0 if word == LOSSY else 0.0 for word in words}
    less = sum(draw.uniform(low[word], 1.0, 200_000) * span for word, span in spans.items())
    assert np.mean(typical * np.exp(-np.asarray(less)) >= down[""]) > 0.95
    assert down == {"": pytest.approx(down[""])}  # nothing is known to be otherwise


def test_a_cut_off_that_only_all_of_it_brings_is_not_combined_away() -> None:
    alone = {AGING: 800.0, COLD: 820.0, HAND: 900.0}
    down = landing(1000.0, alone, 650.0, 200.0, cut=True)
    assert down[" and ".join(BEFOREHAND)] == pytest.approx(200.0)
    assert down[""] == pytest.approx(1000 * 200 / 650)


TABLE = """, measured: [{throttle: 25 %, current: 2.9 A}, {throttle: 50 %, current: 12 A},
 {throttle: 75 %, current: 25 A}]"""


def test_the_best_is_never_shorter_than_the_typical() -> None:
    """A table gives the currents; what is lost then only says how they go with the volts."""
    text = motor(more="flight: [{phase: go, time: 60 s, throttle: 40 %}]")
    found = flown(text.replace("14.8 V}", "14.8 V" + TABLE + "}"))
    typical = found.flight("typical").lasts
    assert found.best is not None
    assert typical is not None
    assert found.best >= typical
    assert all(seconds > 0 for _, seconds in found.width)


@pytest.mark.parametrize(("air", "share"), [(20, 1.0), (10, 0.9), (0, 0.8), (-15, 0.65)])
def test_cells_as_cold_as_the_plan_says_hold_less(air: float, share: float) -> None:
    """80 % at 0 degC (memory), straight on; a lamp takes the same 2 A at any volts."""
    lamp = LAMP.replace("flat", "lipo") + f"surroundings: {{temperature: {air} degC}}"
    found = flown(lamp)
    assert found.flight("typical").lasts == pytest.approx(5 * share * 0.8 / 2 * 3600, rel=1e-6)
    assert (COLD in dict(found.width)) == (air > 0)


def test_only_what_a_plan_has_makes_its_worst_worse() -> None:
    found = flown(LAMP.replace("flat", "lipo"))
    assert found.flight("worst").about == f"all at once: {AGING}, {COLD}"


def test_a_hand_on_the_throttle_keeps_the_power() -> None:
    """The motor's watts stay as they were with full packs: volts times amperes of the pack."""
    plan = plan_of(motor(ohms=4, more="flight: [{phase: go, time: 60 s, throttle: 50 %}]"))
    wiring = build(plan)
    case, quarter = (OperatingCase("half", throttle=duty) for duty in (0.5, 0.25))  # named alike
    abreast = Abreast(wiring, [case, quarter])

    def drained(of: Abreast, case: OperatingCase, *charges: float, power: bool) -> list[Point]:
        drain = Drain(of, case, [5.0], power=power)
        return [of.follow([drain.at(0.0, np.array([charge]))])[0] for charge in charges]

    full, low = drained(abreast, case, 1.0, 0.25, power=True)
    power = [float(point.amps[0] * point.volts[0]) for point in (full, low)]
    assert power[1] == pytest.approx(power[0], rel=0.01)  # less switching at more duty
    assert low.amps[0] > full.amps[0]
    # what a drain has done to a case's network is no longer there for the next
    after, fresh = (
        drained(of, case, 0.25, power=False)[0] for of in (abreast, Abreast(build(plan), [case]))
    )
    assert after.amps[0] == fresh.amps[0] < low.amps[0]
    assert drained(abreast, quarter, 0.25, power=False)[0].amps[0] < after.amps[0] / 2


@pytest.mark.parametrize("bend", [0.0, 1e-6, 3.0, -3.0])
@pytest.mark.parametrize("slope", [0.0, 2.0, -2.0])
@pytest.mark.parametrize("rest", [0.0, 0.1, -0.1, 1.0])
def test_when_a_pack_is_at_its_reserve(bend: float, slope: float, rest: float) -> None:
    """numpy, which asks for eigenvalues, finds the same roots of the parabola."""
    wanted = {float(root.real) for root in np.roots([bend, slope, rest]) if abs(root.imag) < 1e-9}
    found = sorted(set(real_roots(bend, slope, rest)))
    assert found == pytest.approx(sorted(wanted), rel=1e-9, abs=1e-9)


def test_a_flight_is_the_same_alone_and_abreast_of_others() -> None:
    """Of a batch each draw is solved by itself: another flight beside it changes nothing."""
    wiring = build(load_plan("examples/saltmarsh-19.yaml"))
    packs, told = packs_of(wiring.plan), {pack.id for pack in packs_of(wiring.plan)}
    modes = (TYPICAL, worst_mode(WORSE, "-high"), Mode("cold", "", (COLD,)))

    def flights(*modes: Mode) -> list[Flight]:
        tours = [Tour(wiring, packs, told, mode) for mode in modes]
        abreast = Abreast(wiring, [leg.case for tour in tours for leg in tour.legs])
        return abreast.follow(tour.flight(abreast) for tour in tours)

    for mode, among in zip(modes, flights(*modes), strict=True):
        (alone,) = flights(mode)
        assert among.lasts == pytest.approx(alone.lasts, rel=1e-9)
        assert among.times == pytest.approx(alone.times, rel=1e-9)
        for pack, volts in alone.volts.items():
            assert among.volts[pack] == pytest.approx(volts, rel=1e-9)
            assert among.charge[pack] == pytest.approx(alone.charge[pack], rel=1e-9, abs=1e-12)


def test_the_cut_off_ends_a_flight_before_the_reserve() -> None:
    """40 A at 14.8 V from cells of 20 mohm: 3.5 V a cell are gone long before a fifth is left.

    The charge at which it cuts, by the catalogue's points and the law: volts at rest less the sag.
    """
    more = "flight: [{phase: go, time: 60 s, throttle: 100 %}]"
    text = motor(ohms=10, more=more).replace("bec: none", "bec: none, cut-off: 3.5 V")
    found = flown(text)
    flight = found.flight("typical")
    assert (flight.cut, flight.first) == (True, "esc")
    assert flight.charge["p"][-1] > 0.2
    # 14 V are left at the ESC: what the law draws then, through cells, wires and contacts
    amps = law(14.0, 1.0)
    assert flight.amps["p"][-1] == pytest.approx(amps, rel=2e-3)
    assert flight.lasts == flight.times[-1]
    none = flown(text.replace("cut-off: 3.5 V", "cut-off: none")).flight("typical")
    assert not none.cut
    assert (none.lasts or 0) > (flight.lasts or 0)


RADIO = """
receivers: {rx: {sockets: 4}}
packs: {p: {chemistry: flat, cells: 2, capacity: 2 Ah, plug: rx.batt}, big: {chemistry: flat,
        cells: 4, capacity: 5 Ah, cell-resistance: 2 mohm}}
motors: {m: {full-throttle: 40 A, plug: esc}}
escs: {esc: {bec: none, supply: big, plug: rx.3}}
flight: [{phase: go, time: 60 s}]
"""


def test_the_radio_pack_is_followed_on_its_own() -> None:
    wiring = build(plan_of(CELL + RADIO))
    assert motor_packs(wiring) == {"esc": ("big",)}
    flight = endurance(wiring).flight("typical")
    times = {pack.pack: pack for pack in flight.packs}
    assert (times["p"].motor, times["big"].motor) == (False, True)
    assert flight.first == "big"
    # 100 mA (common practice, no source): 2 Ah x 0.8 / 0.1 A = 16 h
    assert times["p"].to_reserve == pytest.approx(16 * 3600, rel=1e-4)
    assert flight.times[-1] == pytest.approx(flight.lasts)


def test_missing_facts_leave_packs_out() -> None:
    found = flown(CELL + RADIO.replace("full-throttle: 40 A, ", ""))
    assert [pack.pack for pack in found.flight("typical").packs] == ["p"]
    assert any(words.startswith("esc: full-throttle current") for words in found.unknown)
    found = flown(CELL + RADIO.replace("capacity: 2 Ah, ", ""))
    assert [pack.pack for pack in found.flight("worst").packs] == ["big"]
    assert "p: its capacity (capacity)" in found.unknown
    assert flown(CELL + LAMP.replace("capacity: 5 Ah, ", "")).flights == ()


def test_a_flight_that_cannot_be_flown_stops_with_its_part() -> None:
    """An ESC fed the wrong way round has no answer, at whatever throttle."""
    more = "flight: [{phase: go, time: 60 s, throttle: 100 %}]\n"
    more += "as-found: [{end: esc.supply, fact: crossed}]"
    flight = flown(motor(more=more)).flight("typical")
    assert flight.stopped is not None
    assert flight.stopped.element == "esc"
    assert "in go" in flight.stopped.why
    assert flight.lasts is None


@pytest.mark.parametrize(("ah", "wh", "over"), [("4.5", 99.9, False), ("5", 111.0, True)])
def test_watt_hours_against_the_limit_of_air_travel(ah: str, wh: float, over: bool) -> None:
    [found] = energies(plan_of(f"packs: {{p: {{chemistry: lipo, cells: 6, capacity: {ah} Ah}}}}"))
    assert found.watt_hours == pytest.approx(wh, abs=0.05)
    assert (found.over, found.limit.number) == (over, 100)
    assert "TSA" in found.limit.origin
    [unknown] = energies(plan_of("packs: {p: {chemistry: lipo, cells: 6}}"))
    assert (unknown.watt_hours, unknown.over) == (None, False)


def test_an_example_twice_the_same() -> None:
    wiring = build(load_plan("examples/saltmarsh-19.yaml"))
    one, two = (endurance(wiring) for _ in range(2))
    for a, b in zip(one.flights, two.flights, strict=True):
        assert (a.lasts, a.phases, a.packs) == (b.lasts, b.phases, b.packs)


def test_a_pack_that_lasts_a_day_takes_few_steps() -> None:
    # 0.1 A from 100 Ah at 20 % reserve would last 800 h: followed for a day, 2.4 Ah gone by then
    light = LAMP.replace("current: 2 A", "current: 0.1 A").replace("capacity: 5", "capacity: 100")
    flight = flown(CELL + light).flight("typical")
    assert flight.charge["p"][-1] == pytest.approx(1 - 0.1 * 24 / 100, abs=1e-6)
    assert len(flight.times) < 600


def test_a_pack_that_holds_nothing_is_a_pack_nobody_knows() -> None:
    found = flown(CELL + LAMP.replace("capacity: 5 Ah", "capacity: 0 Ah"))
    assert not found.flights
    assert "p: its capacity (capacity)" in found.unknown


def test_no_time_follows_from_no_current() -> None:
    # no load at all: no hours by mean current, not 1e17 s of them
    flight = flown(
        CELL + LAMP.split("loads:", maxsplit=1)[0] + "flight: [{phase: on, time: 60 s}]"
    ).flight("typical")
    assert [pack.simple for pack in flight.packs] == [None]
