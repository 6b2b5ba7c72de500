"""The first power-up: what comes before it, what is tried with the bays open, what comes after.

Arming plugs are fitted when all is tried that no motor is needed for, unless the radio is fed
through them. And which plug closes the circuit from the packs to an ESC's capacitors, and so needs
an anti-spark: the first after which a whole chain of packs, and every arming plug on the way, is
made; of a stack its last pack, with an arming plug that plug, of packs side by side the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from harness.airframe.stages import plug_task
from harness.airframe.steps import hangs_on, is_live
from harness.base.near import capital, spoken
from harness.base.units import CURRENT, TIME, VOLTAGE, format_quantity
from harness.bench.power_up import drawing_more
from harness.documents.cautions import cautions
from harness.documents.steps.work import StepEntry, Work
from harness.electrics.gear.power_up import power_up_warning
from harness.electrics.packs import pack_chains
from harness.facts.fed import radio_armed
from harness.facts.motion import turning
from harness.paper.blocks import Say, Tick
from harness.parts.contacts import Form
from harness.parts.esc import Esc
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.parts.receiver import Receiver
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.wiring.build import Mate
from harness.wiring.gear import is_door

_HAS, _THROUGH = "this plug is the anti-spark: it", "through an anti-spark: this plug"


def spark_details(work: Work, mates: Iterable[Mate]) -> dict[str, str]:
    """Return what to mind at plugs that close a main circuit; `mates`: live ones, in order."""
    least = work.rule("anti-spark", "cells")
    made = sorted(mates, key=lambda mate: mate.plug.part.arms)
    escs, cells, first = dict[str, list[str]](), dict[str, int](), set[str]()
    for esc in sorted(work.plan.of(Esc), key=lambda part: part.id):
        for mate, high in _closing(work, esc, made):
            name = plug_task(mate).name
            escs.setdefault(name, []).append(esc.named())
            cells[name] = max(high, cells.get(name, 0))
            first |= {name} if _without_spark(work, mate) else set()
    return {
        name: f"{_HAS if name in first else _THROUGH} closes the circuit to the capacitors of"
        f" {spoken(some)}, {cells[name]} cells"
        f" (from {least.number:g} cells up: {least.origin})"
        for name, some in escs.items()
        if cells[name] >= least.number
    }


def starting(work: Work, mates: Iterable[Mate]) -> set[str]:
    """Return the plugs, of live ones in order, that bring the first current to an ESC."""
    made = sorted(mates, key=lambda mate: mate.plug.part.arms)
    closing = (one for esc in work.plan.of(Esc) for one in _closing(work, esc, made))
    return {plug_task(mate).name for mate, _ in closing}


def _without_spark(work: Work, mate: Mate) -> bool:
    """Say whether a plug, or its socket, has the resistor in it."""
    sides = (side.connector for side in (mate.plug, mate.socket) if side is not None)
    return any(work.plan.catalogue.value("plugs", kind, "anti-spark") for kind in sides)


def _closing(work: Work, esc: Esc, made: Sequence[Mate]) -> Iterator[tuple[Mate, int]]:
    """Yield the plug that closes an ESC's circuit, and the cells in series there; or nothing."""
    chains = pack_chains(work.wiring, esc)
    wanted = {plug_task(m).name for m in made if _arms(work, m, esc)}
    done: set[str] = set()
    packs: set[str] = set()
    for mate in made:
        done.add(plug_task(mate).name)
        packs |= {p.id for p in of_kind(Pack, _ends(mate)) if not _balance(mate)}
        closed = [chain for chain in chains if {pack.id for pack in chain} <= packs]
        if closed and wanted <= done:
            yield mate, max(sum(p.cells for p in chain) for chain in closed)
            return


def _ends(mate: Mate) -> tuple[Part | None, ...]:
    return (mate.plug.part, mate.socket.part) if mate.socket is not None else (mate.plug.part,)


def _balance(mate: Mate) -> bool:
    return not mate.plug.part.battery_lead and Form.BALANCE in {
        mate.plug.form,
        mate.socket.form if mate.socket else None,
    }


def _arms(work: Work, mate: Mate, esc: Esc) -> bool:
    lead = mate.plug.part
    if lead is None or not lead.arms:
        return False
    return esc in hangs_on(work.access, lead)


STARTS = "from here on the motor can start at any time"
LIVE = f"last of all; {STARTS}"
NEAR = "nobody beside, before or behind what turns, sleeves and leads clear"
OUT = "its arming plug stays out: what lies behind it is dead"
POWER_UP = "First power-up"
TRIED = "Try everything with the bays open"
MOTORS = "Then the motors"
FLIGHT = "Before the first flight"


def before_power(work: Work) -> Iterator[StepEntry]:
    """Yield what comes before the first pack, with what legs without a sequencer do then."""
    words = f"{capital(turning(work.plan).order)}; nothing can roll, bite or be wound up"
    said = tuple(Say(text, "caution") for text in cautions(work.plan))
    yield StepEntry("power-up", POWER_UP, Tick("steps-power-propellers", words), says=said)
    legs = ", gear switch where the legs are" if any(work.plan.of(Retract)) else ""
    words = f"Switch the transmitter on first: throttle closed{legs}"
    warned = power_up_warning(work.wiring)
    tick = Tick("steps-power-transmitter", words, (warned,) if warned else ())
    yield StepEntry("power-up", POWER_UP, tick)


def live_details(work: Work, mate: Mate) -> Iterator[str]:
    """Yield what to mind at a plug that brings current."""
    if not is_live(mate):
        return
    assert mate.socket is not None
    if mate.plug.part.arms:
        yield OUT
        return
    yield _fused(work)


def _fused(work: Work) -> str:
    fuse = work.rule("power-up", "fuse")
    amps = format_quantity(fuse.number, CURRENT)
    return f"the first time through a {amps} fuse or a limited supply ({fuse.origin})"


def armed(
    work: Work, sparks: Mapping[str, str], heading: str, prefix: str, *cautions: str
) -> Iterator[StepEntry]:
    """Yield a tick for each arming plug to fit."""
    for mate in work.arming:
        said = (LIVE, *cautions, sparks.get(plug_task(mate).name, ""))
        tick = _fit(work, mate, f"{prefix}-arm-{mate.plug.part.id}", tuple(filter(None, said)))
        yield StepEntry("power-up", heading, tick)


def _fit(work: Work, mate: Mate, key: str, said: tuple[str, ...]) -> Tick:
    part, picture = mate.plug.part, work.picture(lambda draw: draw.part(mate.plug, key))
    words = f"Fit the arming plug of {part.named()}"
    return Tick(key, words, said, work.own_codes([part]), picture)


def tests(work: Work, sparks: Mapping[str, str]) -> Iterator[StepEntry]:
    """Yield what is tried with everything on and open; expected values are in the protocol."""
    told = (Say("The bench protocol (harness protocol) has each test with its expected value."),)
    turns, early = turning(work.plan), radio_armed(work.wiring)
    if early:
        said = f"the radio is fed through it, so it goes in now: {turns.off}"
        yield from armed(work, sparks, POWER_UP, "steps", said, _fused(work))
    for number, (name, words, *details) in enumerate(_tests(work)):
        tick = Tick(f"steps-try-{name}", words, tuple(filter(None, details)))
        yield StepEntry("try", TRIED, tick, says=() if number else told)
    for name, words, *details in _safe(work, turns.made_ready()):
        yield StepEntry("try", MOTORS, Tick(f"steps-try-{name}", words, tuple(details)))
    if not early:
        yield from armed(work, sparks, MOTORS, "steps", NEAR)
    for name, words, *details in _motors(work):
        tick = Tick(f"steps-try-{name}", words, tuple(filter(None, details)))
        yield StepEntry("try", MOTORS, tick)


def _safe(work: Work, words: str) -> Iterator[tuple[str, ...]]:
    """Yield how what turns is made ready to run, with the motors dead meanwhile."""
    if words:
        out = "Arming plug out and pack off" if work.arming else "Pack off"
        again = "the pack in again as planned, the arming plug last" if work.arming else "pack on"
        yield "ready", f"{out}: {words}; tie the aeroplane down", f"then {again}; {NEAR}"


def _tests(work: Work) -> Iterator[tuple[str, ...]]:
    """Yield name, words and details, in the order of a first session (common practice)."""
    plan = work.plan
    least = work.rule("rail", "minimum")
    rail = f"at least {format_quantity(least.number, VOLTAGE)} ({least.origin})"
    if any(plan.of(Receiver)):
        yield "rail", "Volts at the receiver with everything at rest", rail
    motors = any(plan.of(Esc)) and (not work.arming or radio_armed(work.wiring))
    still = "motors stay still, " if motors else ""
    yield "failsafe", f"Transmitter off: {still}every channel goes to its failsafe", ""
    if any(plan.of(Servo)):
        yield (
            "centres",
            "Sticks in the middle, trims at nought: every arm stands as fitted",
            (
                "one that stands askew by a tooth or more: take it off and set it anew; what is "
                "left, by sub-trim"
            ),
        )
        yield "directions", "Direction of every surface, from behind; then both throws, no hum", ""
    yield from _fuse_out(work)
    if any(plan.of(Retract)):
        doors = any(is_door(servo) for servo in plan.of(Servo))
        clear = ", doors out of the legs' way" if doors else ""
        yield "gear", f"Gear down and up, on a stand, wheels clear of the bench{clear}", ""
    if any(plan.of(Servo)):
        stir = work.rule("power-up", "stir-time")
        time = format_quantity(stir.number, TIME)
        yield "stir", f"Stir both sticks for {time} and watch the rail", f"{rail}; {stir.origin}"


def _motors(work: Work) -> Iterator[tuple[str, ...]]:
    """Yield what needs the motors live."""
    plan = work.plan
    if any(plan.of(Esc)):
        yield "escs", "Calibrate the ESCs, those that share a throttle together", ""
    if any(plan.of(Motor)):
        turns = [f"{m.id} {m.rotation}" for m in plan.of(Motor) if m.rotation]
        yield (
            "motors",
            "Direction of every motor; a wrong one: swap any two of its three wires",
            (f"seen from behind: {', '.join(turns)}" if turns else ""),
        )
        yield "motor-off", "Motor at a little throttle, transmitter off: the motor stops", ""


def _fuse_out(work: Work) -> Iterator[tuple[str, ...]]:
    """Yield that the fuse comes out before anything draws more than it bears."""
    later = drawing_more(work.plan)
    if later and any(work.plan.of(Pack)):
        fuse = work.rule("power-up", "fuse")
        amps = format_quantity(fuse.number, CURRENT)
        yield (
            "fuse",
            (f"Pack off; take the {amps} fuse or the limited supply out; plug in again as planned"),
            (
                f"{later} may draw more than {amps}: a fuse that blows takes the supply from the "
                f"radio too ({fuse.origin})"
            ),
        )


def before_flight(work: Work) -> Iterator[StepEntry]:
    """Yield what is left when all is closed."""
    for name, words, *details in _flight(work):
        tick = Tick(f"steps-flight-{name}", words, tuple(filter(None, details)))
        yield StepEntry("flight", FLIGHT, tick)


def _flight(work: Work) -> Iterator[tuple[str, ...]]:
    if any(work.plan.of(Motor)):
        low, high = (work.rule("power-up", f"throttle-time{end}") for end in ("-low", ""))
        time = f"{low.number:g} to {format_quantity(high.number, TIME)}"
        turns = turning(work.plan)
        yield from _safe(work, turns.made_ready(full=True))
        held = f"{turns.one_on}, held fast, nobody beside or in front of it"
        yield "throttle", f"Full throttle for {time} with a wattmeter", held, high.origin
        out = "Arming plug out, pack off" if work.arming else "Pack off"
        yield "warm", f"{out}; feel every plug and lead on the battery side: none is hot", ""
    yield "balance", "Centre of gravity as the plan of the model says, with the packs in place", ""
    yield "range", "Range check, motor off and running; then reduced power off again", ""
    yield "flight", "A short first flight; then feel plugs and leads again", ""
