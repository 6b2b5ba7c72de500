"""Tests of the motors: rotation, calibration, transmitter off, full throttle; then the field."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.base.near import spoken
from harness.base.units import CURRENT, VOLTAGE
from harness.bench.leads_and_supplies import PRACTICE
from harness.bench.protocol import BenchTest, Edit, Section, Word, band
from harness.bench.workbench import CORNERS, FRESH, Bench, by_id, full
from harness.electrics.packs import motor_packs
from harness.electrics.sampling import MEASURED, METERED
from harness.facts.motion import turning
from harness.parts.breaker import WIRES_OF
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import of_kind
from harness.parts.power_lead import PowerLead
from harness.parts.sensor import Sensor
from harness.wiring.ratings import motors_on


def _too_much(bench: Bench) -> str:
    """Say what to do when a motor takes more than was expected, or less."""
    return (
        f"more than the plan has: a larger {turning(bench.plan).one} or a motor that binds; do not"
        " fly before ESC, pack and plugs bear it. Less: a weak pack, a worn plug, or an ESC that is"
        " not calibrated; then write what was read into the plan"
    )


def motors(bench: Bench) -> Section:
    """With nothing that bites: which way, from where, and that it stops."""
    tests = [*_rotations(bench), *_calibrations(bench), *_arming(bench)]
    if escs := tuple(esc.id for esc in by_id(bench.plan.of(Esc))):
        tests.append(BenchTest(
            "transmitter-off.motors-stop",
            "motors at a little throttle, transmitter switched off: every motor stops", Word(),
            PRACTICE, "set the failsafe of the throttle to off at binding; do not fly before",
            (), "off", escs,
        ))  # fmt: skip
    return Section("Motors", tuple(tests), turning(bench.plan).tried_bare)


def _rotations(bench: Bench) -> Iterator[BenchTest]:
    for motor in by_id(bench.plan.of(Motor)):
        if not motor.rotation:
            bench.missing(f"{motor.id}: which way it turns (rotation)")
            continue
        yield BenchTest(
            f"rotation.{motor.id}", f"{motor.id} turns, seen from behind",
            Word(motor.rotation, ("clockwise", "anticlockwise")),
            f"plan line {motor.at('rotation').line}",
            "swap any two of its three wires; never red and black of the ESC", (), "off",
            (motor.id,), bench.codes([motor.id]),
        )  # fmt: skip


def _calibrations(bench: Bench) -> Iterator[BenchTest]:
    """ESCs with one pulse between them are calibrated together."""
    shared: dict[tuple[str, str], list[str]] = defaultdict(list)
    for drive in bench.drives:
        if drive.part.drives:
            shared[drive.signal].append(drive.part.id)
    for escs in shared.values():
        for name in escs:
            others = [other for other in escs if other != name]
            how = f"together with {spoken(others)}, on one Y-lead" if others else ""
            yield BenchTest(
                f"esc-calibrated.{name}",
                f"{name} knows both ends of the throttle stick"
                + (", and all motors start at the same click" if others else ""),
                Word(), PRACTICE,
                "calibrate it anew: stick full, pack on, wait for the tones, stick down; as its own"
                " instructions say", (how,) if how else (), "off", (name,), bench.codes([name]),
            )  # fmt: skip


def _arming(bench: Bench) -> Iterator[BenchTest]:
    for lead in by_id(bench.plan.of(PowerLead)):
        if lead.kind == "arming":
            yield BenchTest(
                f"arming-plug.{lead.id}", f"with {lead.id} out no motor turns, whatever the stick"
                " does", Word(), f"plan line {lead.at('kind').line}",
                f"the plug must open the {WIRES_OF[lead.pole]} of every ESC: trace it, and do not"
                " fly before",
                (lead.about,) if lead.about else (), "off", (lead.id,), bench.codes([lead.id]),
            )  # fmt: skip


def full_throttle(bench: Bench) -> Section:
    """Each motor and each pack, restrained, for seconds; then the joints by touch."""
    low, high = (bench.rule("power-up", f"throttle-time{end}") for end in ("-low", ""))
    tests: list[BenchTest] = []
    for function, escs in bench.solved.groups.items() if bench.solved else ():
        for name in escs:
            tests += _motor(bench, function, name)
        tests += _totals(bench, function, escs)
    if any(bench.plan.of(Esc)):
        tests.append(_warm(bench))
    about = f"{turning(bench.plan).on}, the aeroplane tied down, nobody beside or before it;"
    about += f" {low.number:g} to {high.number:g} s, with a wattmeter ({high.origin})"
    return Section("Full throttle", tuple(tests), about)


def _motor(bench: Bench, function: str, esc: str) -> Iterator[BenchTest]:
    found = bench.solved.drawn(esc, *full(function)) if bench.solved else None
    for motor in _on(bench, esc):
        read = motor.full()
        if read is None:
            bench.missing(f"{motor.id}: its current at full throttle (full-throttle)")
        if read is None or found is None:
            _unsolved(bench, motor, function)
            continue
        edit = Edit(motor.id, "full-throttle", motor.full_at().line, "", read.number)
        yield BenchTest(
            f"full-throttle-amps.{motor.id}", f"current of {motor.id} at full throttle, at the"
            f" battery wires of {esc}", band(CURRENT, *_metered(found)),
            f"{read.number:g} A ({read.origin}), solved for {FRESH}",
            _too_much(bench), (), "on",
            (motor.id, esc), bench.codes([esc]), edit,
        )  # fmt: skip


def _unsolved(bench: Bench, motor: Motor, function: str) -> None:
    """Say why the current that the plan states cannot be: more than its supply gives, mostly."""
    why = bench.solved.trouble(*full(function)) if bench.solved else ""
    if why and motor.full() is not None:
        bench.missing(f"{motor.id}: full throttle has no solution ({why})")


def _metered(found: tuple[float, float]) -> tuple[float, float]:
    return found[0] * (1 - MEASURED.number), found[1] * (1 + MEASURED.number)


def _totals(bench: Bench, function: str, escs: tuple[str, ...]) -> Iterator[BenchTest]:
    """What each pack gives with all motors of a function; and the volts it keeps meanwhile."""
    feeding = motor_packs(bench.wiring)
    packs = sorted({pack for esc in escs for pack in feeding[esc]})
    for pack in of_kind(Pack, (bench.plan.parts[name] for name in packs)):
        assert bench.solved is not None
        name = pack.id
        amps = bench.solved.given(name, *full(function))
        volts = bench.solved.pack_volts(name, *full(function))
        known = all(m.full() is not None for esc in escs for m in _on(bench, esc))
        if amps is None or volts is None or not known:
            continue
        what = f"with {spoken(escs)} at full throttle"
        yield BenchTest(
            f"full-throttle-total.{function}.{name}", f"current of {pack.named()} {what}",
            band(CURRENT, *_metered(amps)), f"the solved network, {FRESH}",
            _too_much(bench), (), "on", (name, *escs), bench.codes([name]),
        )  # fmt: skip
        yield _sag(bench, pack, f"{function}.{name}", what, volts, escs)


def _sag(
    bench: Bench, pack: Pack, stem: str, what: str, volts: tuple[float, float],
    escs: tuple[str, ...],
) -> BenchTest:  # fmt: skip
    empty = from_catalogue(bench.plan.catalogue, "packs", pack.chemistry, "empty")
    cell = empty.number if empty else 0.0
    origin = f"at least {cell:g} V a cell under load ({empty.origin})" if empty else PRACTICE
    return BenchTest(
        f"full-throttle-volts.{stem}", f"volts of {pack.named()} {what}",
        band(VOLTAGE, pack.cells * cell, volts[1] * (1 + METERED.number), volts,
             f"{CORNERS}; packs from full down to the fresh charge"),
        origin, "the pack is weak, cold or empty: meter its cells at rest, charge it, try another",
        (), "on", (pack.id,), bench.codes([pack.id]), None, escs,
    )  # fmt: skip


def _on(bench: Bench, esc: str) -> list[Motor]:
    return motors_on(bench.wiring, bench.plan.parts[esc])


def _warm(bench: Bench) -> BenchTest:
    through = [one for one in by_id(bench.plan.of(Sensor)) if one.through]
    leads = (*by_id(bench.plan.of(PowerLead)), *through)
    parts = [p.id for p in (*by_id(bench.plan.of(Esc)), *leads, *by_id(bench.plan.of(Pack)))]
    return BenchTest(
        "joints-cool", "pack off, then at once: no plug, joint or wire of the battery side is warm"
        " to the touch", Word(), PRACTICE,
        "a warm joint is a poor one: solder it anew, or a larger plug", (), "off", tuple(parts),
        bench.codes(parts),
    )  # fmt: skip


def field(bench: Bench) -> Section:
    """Last of all: balance and range."""
    tests = [BenchTest(
        "centre-of-gravity", "ready to fly, pack in: it balances where the instructions say",
        Word(), "the maker's or designer's instructions",
        "move the pack; do not fly a tail-heavy aeroplane",
    )]  # fmt: skip
    if any(part.swings or part.is_leg or part.drives for part in bench.plan.parts.values()):
        tests += _range(bench)
    return Section("Before the first flight", tuple(tests), "complete, at the field")


def _range(bench: Bench) -> Iterator[BenchTest]:
    yield BenchTest(
        "range", "transmitter at reduced power, at the distance its instructions say: every surface"
        " still answers, motor off and motor running", Word(), PRACTICE,
        "do not fly: look at the aerials' way, away from carbon, wires and each other; try again",
        (f"with the motor running: {turning(bench.plan).one_on}, somebody holds it",), "on",
    )  # fmt: skip
    yield BenchTest(
        "range-mode-off", "the reduced power of the range check is off again", Word(), PRACTICE,
        "switch it off before every flight: with it on the signal is lost a field away",
    )  # fmt: skip
