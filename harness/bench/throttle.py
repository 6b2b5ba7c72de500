"""Tests of what motors draw, restrained, from half to full throttle; then the joints by touch.

Nobody knows beforehand which duty an ESC makes of a stick at half: what is read there is no fault
before it is as much as full throttle takes, and goes into the plan.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.units import CURRENT, VOLTAGE
from harness.bench.leads_and_supplies import PRACTICE, pulled_out
from harness.bench.protocol import BenchTest, ExpectedRange, Section, Word, band, percent
from harness.bench.workbench import CORNERS, FRESH, Bench, by_id, running, throttles_of
from harness.electrics.packs import motor_packs
from harness.electrics.sampling import MEASURED, METERED
from harness.facts.motion import turning
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import of_kind
from harness.parts.power_lead import PowerLead
from harness.parts.sensor import Sensor
from harness.wiring.ratings import motors_on

ORIGIN = f"no more than full packs give, {FRESH}"
TOO_HIGH = "more than full packs give: look at the meter, and at the cells of the packs that are in"
WEAK = "the pack is weak, cold or empty: meter its cells at rest, charge it, try another"


def throttle(bench: Bench) -> Section:
    """Each motor and each pack, restrained, for seconds; then the joints by touch."""
    low, high = (bench.rule("power-up", f"throttle-time{end}") for end in ("-low", ""))
    tests: list[BenchTest] = []
    for function, escs in bench.solved.groups.items() if bench.solved else ():
        for name in escs:
            tests += _readings(bench, function, name)
        tests += _totals(bench, function, escs)
    if any(bench.plan.of(Esc)):
        tests.append(_warm(bench))
    about = f"{turning(bench.plan).on}, the aeroplane tied down, nobody beside or before it; from"
    about += f" the least throttle up, {low.number:g} to {high.number:g} s each, amps and volts off"
    about += f" a wattmeter at once ({high.origin})"
    return Section("Part and full throttle", tuple(tests), about)


@dataclass(frozen=True, slots=True)
class Wattmeter:
    """What is read in the battery wires of an ESC, all motors on it at one throttle."""

    bench: Bench
    esc: str
    motors: tuple[Motor, ...]
    throttle: float

    def test(
        self,
        what: str,
        title: str,
        expected: ExpectedRange,
        origin: str,
        mend: str,
        how: tuple[str, ...] = (),
    ) -> BenchTest:
        """Return one reading; its id is that of the first motor."""
        ids = [motor.id for motor in self.motors]
        name = f"throttle-{what}.{ids[0]}"
        name = f"full-{name}" if self.throttle == 1 else f"part-{name}.{100 * self.throttle:g}"
        at = "full" if self.throttle == 1 else percent(self.throttle)
        return BenchTest(
            name,
            f"{title} {spoken(ids)} at {at} throttle, at the battery wires of {self.esc}",
            expected,
            origin,
            mend,
            how,
            "on",
            (*ids, self.esc),
            self.bench.codes([self.esc]),
            point=(self.throttle, what),
        )


def _readings(bench: Bench, function: str, esc: str) -> Iterator[BenchTest]:
    """Amps and volts of all motors on an ESC, from the least throttle to full."""
    motors, solved = tuple(by_id(_on(bench, esc))), bench.solved
    silent = [motor.id for motor in motors if motor.full() is None]
    for name in silent:
        bench.missing(f"{name}: its current at full throttle (full-throttle)")
    if silent or not motors or solved is None:
        return
    full = solved.drawn(esc, *running(function))
    for throttle in throttles_of(bench.plan.catalogue):
        meter, cases = Wattmeter(bench, esc, motors, throttle), running(function, throttle)
        drawn, fed = solved.drawn(esc, *cases), solved.fed(esc, *cases)
        if drawn is not None and fed is not None and full is not None:
            yield _amps(meter, drawn, full)
            yield meter.test("volts", "volts with", _volts(fed), ORIGIN, TOO_HIGH)
        elif why := solved.trouble(*cases):
            bench.missing(f"{motors[0].id}: no solution at throttle {throttle:g} ({why})")


def _amps(meter: Wattmeter, drawn: tuple[float, float], full: tuple[float, float]) -> BenchTest:
    origin = f"{_stated(meter)}, solved for {FRESH}"
    expected, mend = band(CURRENT, *_metered(drawn)), _too_much(meter.bench)
    if meter.throttle < 1:
        expected = band(CURRENT, None, _metered(full)[1], _metered(drawn), origin)
        origin = f"no more than at full throttle; usually {origin}"
        mend = "no full throttle before you know why: an ESC that is not calibrated, a larger"
        mend += f" {turning(meter.bench.plan).one} than the plan has, or a motor that binds"
    part = meter.bench.plan.parts[meter.esc]
    feeds = part.makes is not None and not pulled_out(part)
    how = ("less what the meter shows with the motor off: its BEC takes that",) if feeds else ()
    return meter.test("amps", "current of", expected, origin, mend, how)


def _stated(meter: Wattmeter) -> str:
    """Say where the current at a throttle comes from."""
    read = [line for m in meter.motors for line in m.measured if line.throttle == meter.throttle]
    if read:
        return spoken(f"{line.current:g} A (measured, plan line {line.span.line})" for line in read)
    full = [figure for motor in meter.motors if (figure := motor.full()) is not None]
    stated = spoken(f"{figure.number:g} A ({figure.origin})" for figure in full)
    return stated if meter.throttle == 1 else f"by {stated} and the law of motors, stick as duty"


def _too_much(bench: Bench) -> str:
    """Say what to do when a motor takes more than was expected, or less."""
    return (
        f"more than the plan has: a larger {turning(bench.plan).one} or a motor that binds; do not"
        " fly before ESC, pack and plugs bear it. Less: a weak pack, a worn plug, or an ESC that is"
        " not calibrated; then write what was read into the plan"
    )


def _metered(found: tuple[float, float]) -> tuple[float, float]:
    return found[0] * (1 - MEASURED.number), found[1] * (1 + MEASURED.number)


def _totals(bench: Bench, function: str, escs: tuple[str, ...]) -> Iterator[BenchTest]:
    """What each pack gives with all motors of a function; and the volts it keeps meanwhile."""
    feeding = motor_packs(bench.wiring)
    packs = sorted({pack for esc in escs for pack in feeding[esc]})
    for pack in of_kind(Pack, (bench.plan.parts[name] for name in packs)):
        assert bench.solved is not None
        name = pack.id
        amps = bench.solved.given(name, *running(function))
        volts = bench.solved.pack_volts(name, *running(function))
        known = all(m.full() is not None for esc in escs for m in _on(bench, esc))
        if amps is None or volts is None or not known:
            continue
        what = f"with {spoken(escs)} at full throttle"
        yield BenchTest(
            f"full-throttle-total.{function}.{name}",
            f"current of {pack.named()} {what}",
            band(CURRENT, *_metered(amps)),
            f"the solved network, {FRESH}",
            _too_much(bench),
            (),
            "on",
            (name, *escs),
            bench.codes([name]),
        )
        yield _sag(bench, pack, f"{function}.{name}", what, volts)


def _sag(bench: Bench, pack: Pack, stem: str, what: str, volts: tuple[float, float]) -> BenchTest:
    empty = from_catalogue(bench.plan.catalogue, "packs", pack.chemistry, "empty")
    cell = empty.number if empty else 0.0
    origin = f"at least {cell:g} V a cell under load ({empty.origin})" if empty else PRACTICE
    return BenchTest(
        f"full-throttle-volts.{stem}",
        f"volts of {pack.named()} {what}",
        _volts(volts, pack.cells * cell),
        origin,
        WEAK,
        (),
        "on",
        (pack.id,),
        bench.codes([pack.id]),
    )


def _volts(volts: tuple[float, float], least: float | None = None) -> ExpectedRange:
    usual = volts[0] * (1 - METERED.number), volts[1] * (1 + METERED.number)
    origin = f"{CORNERS}; packs from full down to the fresh charge; and {METERED.origin}"
    return band(VOLTAGE, least, usual[1], usual, origin)


def _on(bench: Bench, esc: str) -> list[Motor]:
    return motors_on(bench.wiring, bench.plan.parts[esc])


def _warm(bench: Bench) -> BenchTest:
    through = [one for one in by_id(bench.plan.of(Sensor)) if one.through]
    leads = (*by_id(bench.plan.of(PowerLead)), *through)
    parts = [p.id for p in (*by_id(bench.plan.of(Esc)), *leads, *by_id(bench.plan.of(Pack)))]
    return BenchTest(
        "joints-cool",
        "pack off, then at once: no plug, joint or wire of the battery side is warm to the touch",
        Word(),
        PRACTICE,
        "a warm joint is a poor one: solder it anew, or a larger plug",
        (),
        "off",
        tuple(parts),
        bench.codes(parts),
    )
