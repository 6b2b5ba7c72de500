"""Tests of the motors: rotation, calibration, transmitter off; then the field."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.near import spoken
from harness.bench.directions import shared_by
from harness.bench.leads_and_supplies import PRACTICE
from harness.bench.protocol import BenchTest, Section, Word
from harness.bench.workbench import Bench, by_id
from harness.facts.fed import radio_armed
from harness.facts.motion import turning, turning_of
from harness.facts.signals import by_signal
from harness.parts.breaker import WIRES_OF
from harness.parts.esc import Esc
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.wiring.ratings import motors_on


def motors(bench: Bench) -> Section:
    """With nothing that bites: dead without its plug, both ends, which way, and that it stops."""
    tests = [*_arming(bench), *_calibrations(bench), *_rotations(bench)]
    if escs := tuple(esc.id for esc in by_id(bench.plan.of(Esc))):
        tests.append(
            BenchTest(
                "transmitter-off.motors-stop",
                "motors at a little throttle, transmitter switched off: every motor stops",
                Word(),
                PRACTICE,
                "set the failsafe of the throttle to off at binding; do not fly before",
                (),
                _state(bench.plan.of(Motor)),
                escs,
            )
        )
    turns = turning(bench.plan)
    ready = f"pack off while you {words}" if (words := turns.made_ready()) else ""
    arms = any(part.arms for part in bench.plan.parts.values()) and not radio_armed(bench.wiring)
    last = "the arming plug last, when all above is right" if arms else ""
    about = (ready, last, turns.tried_bare)
    return Section("Motors", tuple(tests), "; ".join(filter(None, about)))


def _state(motors: Iterable[Part]) -> str:
    """A fan is tried in its duct, plugged in; a propeller is off until full throttle."""
    return "on" if turning_of(motors).made_ready() else "off"


def _rotations(bench: Bench) -> Iterator[BenchTest]:
    for motor in by_id(bench.plan.of(Motor)):
        if not motor.rotation:
            bench.missing(f"{motor.id}: which way it turns (rotation)")
            continue
        yield BenchTest(
            f"rotation.{motor.id}",
            f"{motor.id} turns, seen from behind",
            Word(motor.rotation, ("clockwise", "anticlockwise")),
            f"plan line {motor.at('rotation').line}",
            "swap any two of its three wires; never red and black of the ESC",
            (),
            _state([motor]),
            (motor.id,),
            bench.codes([motor.id]),
        )


def _calibrations(bench: Bench) -> Iterator[BenchTest]:
    """ESCs with one pulse between them are calibrated together."""
    shared = by_signal(bench.wiring)
    for esc in (drive for drive in bench.drives if drive.part.drives):
        others = [one for one in shared[esc.signal] if one.part.drives and one is not esc]
        name, ids = esc.part.id, spoken(other.part.id for other in others)
        how = f"together with {ids}, on one {shared_by(esc, others)}" if others else ""
        yield BenchTest(
            f"esc-calibrated.{name}",
            f"{name} knows both ends of the throttle stick"
            + (", and all motors start at the same click" if others else ""),
            Word(),
            PRACTICE,
            "calibrate it anew: stick full, pack on, wait for the tones, stick down; as its own"
            " instructions say",
            (how,) if how else (),
            _state(motors_on(bench.wiring, bench.plan.parts[name])),
            (name,),
            bench.codes([name]),
        )


def _arming(bench: Bench) -> Iterator[BenchTest]:
    for lead in by_id(bench.plan.of(PowerLead)):
        if lead.kind == "arming":
            yield BenchTest(
                f"arming-plug.{lead.id}",
                f"with {lead.id} out no motor turns, whatever the stick does",
                Word(),
                f"plan line {lead.at('kind').line}",
                f"the plug must open the {WIRES_OF[lead.pole]} of every ESC: trace it, and do not"
                " fly before",
                (lead.about,) if lead.about else (),
                _state(bench.plan.of(Motor)),
                (lead.id,),
                bench.codes([lead.id]),
            )


def field(bench: Bench) -> Section:
    """Last of all: balance and range."""
    tests = [
        BenchTest(
            "centre-of-gravity",
            "ready to fly, pack in: it balances where the instructions say",
            Word(),
            "the maker's or designer's instructions",
            "move the pack; do not fly a tail-heavy aeroplane",
        )
    ]
    if any(part.swings or part.is_leg or part.drives for part in bench.plan.parts.values()):
        tests += _range(bench)
    return Section("Before the first flight", tuple(tests), "complete, at the field")


def _range(bench: Bench) -> Iterator[BenchTest]:
    yield BenchTest(
        "range",
        "transmitter at reduced power, at the distance its instructions say: every surface"
        " still answers, motor off and motor running",
        Word(),
        PRACTICE,
        "do not fly: look at the aerials' way, away from carbon, wires and each other; try again",
        (f"with the motor running: {turning(bench.plan).one_on}, somebody holds it",),
        "on",
    )
    yield BenchTest(
        "range-mode-off",
        "the reduced power of the range check is off again",
        Word(),
        PRACTICE,
        "switch it off before every flight: with it on the signal is lost a field away",
    )
