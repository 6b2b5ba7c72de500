"""Tests of the gear: what it does when the supply comes on, and when each step is over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness.base.near import spoken
from harness.base.units import TIME, VOLTAGE
from harness.bench.leads_and_supplies import sags
from harness.bench.power_up import HELD
from harness.bench.protocol import BenchTest, Section, Word, band
from harness.bench.workbench import Bench
from harness.electrics.gear.motion import HERE, functions_of
from harness.electrics.gear.power_up import power_up_warning, wakings
from harness.electrics.gear.timeline import GearRun, TimeLine, timeline
from harness.electrics.solver.circuit import NotSolved
from harness.facts.motion import exchanged
from harness.parts.part import of_kind
from harness.parts.sequencer import Sequencer, Step
from harness.wiring.gear import DIRECTIONS, goal_of, is_door, on_outlets, steps_of

RUNS = (*DIRECTIONS, "slow-", "power-up-")
"""Beginnings of the names of the runs that are tested: nobody jams a leg on the bench."""
MOVES = ("stays", "goes down", "goes up")
JAMS = "do not power it again before you know why: a leg that is stuck draws its stop current; then"
STEPS = f"{JAMS} set the steps of the sequencer to the times measured here, or the plan to them"
ARRIVAL = "its travel as the time line has it, up to its travel when slow (cold, low volts)"
TRAVEL = f"{JAMS} write the time measured here into the plan, as its travel"


def gear(bench: Bench) -> Section:
    """Every function that has legs or a sequencer."""
    tests: list[BenchTest] = []
    for function, line in lines_of(bench).items():
        tests += [*_power_ups(bench, function, line), *_times(bench, line), *_volts(bench, line)]
    about = "the aeroplane on a stand; times from the moment the switch is moved"
    said = filter(None, (about, power_up_warning(bench.wiring)))
    return Section("Gear", tuple(tests), "; ".join(said))


def lines_of(bench: Bench, only: tuple[str, ...] = RUNS) -> dict[str, TimeLine]:
    """Return the time line of every function with legs or a sequencer, `only` in some runs."""
    found = {}
    for function, movers in functions_of(bench.wiring).items():
        if any(m.box or m.part.is_leg for m in movers):
            try:
                found[function] = timeline(bench.wiring, function, only=only)
            except NotSolved as why:
                bench.missing(f"{function}: its time line has no solution ({why.why})")
    return found


def _power_ups(bench: Bench, function: str, line: TimeLine) -> Iterator[BenchTest]:
    """What the plan does not tell of a box cannot be expected."""
    boxes = _boxes(bench, line)
    silent = [b.id for b in boxes if not b.power_up]
    for name in silent:
        bench.missing(f"{name}: what it does when the supply comes on (power-up)")
    for run in line.runs if not silent else ():
        if not run.name.startswith("power-up-"):
            continue
        _, _, switch, stands = run.name.split("-")
        loose = _loose(bench, line)
        yield BenchTest(
            f"gear-power-up.{function}.switch-{switch}-gear-{stands}",
            f"supply off, the gear {stands}, the switch {switch}; supply on: the gear",
            Word(_does(bench, run), MOVES),
            _why(boxes),
            _surprise(boxes, loose),
            (HELD,) if wakings(bench.wiring) else (),
            "off",
            (*line.boxes, *line.movers),
        )


def _surprise(boxes: Sequence[Sequencer], loose: list[str]) -> str:
    """Say what to do when the gear does something else as the supply comes on."""
    write = f"write what {spoken(b.id for b in boxes)} really does into the plan (power-up)"
    look = f"look at the direction of the gear switch, and where the plugs of {spoken(loose)} sit"
    words = "; ".join([*([write] if boxes else []), *([look] if loose else [])])
    return f"{words}; never switch on with the model on its wheels before it is known"


def _does(bench: Bench, run: GearRun) -> str:
    """Judge by the legs; where there are none, by whatever moves."""
    legs = [name for name in run.positions if bench.plan.parts[name].is_leg]
    moved = [run.positions[name][-1] - run.positions[name][0] for name in legs or run.positions]
    if any(way > HERE for way in moved):
        return MOVES[1]
    return MOVES[2] if any(way < -HERE for way in moved) else MOVES[0]


def _why(boxes: Sequence[Sequencer]) -> str:
    told = [f"{b.id}: power-up {b.power_up} (plan line {b.at('power-up').line})" for b in boxes]
    return "; ".join(told) or "taken: what no sequencer delays follows the switch at once"


def _times(bench: Bench, line: TimeLine) -> Iterator[BenchTest]:
    for box in _boxes(bench, line):
        for way in DIRECTIONS:
            yield from _box_times(bench, line, box, way)
    for name in _loose(bench, line):
        for way in DIRECTIONS:
            yield _timed(
                bench,
                f"{name}.{way}",
                f"gear {way}: {name} is {way} after",
                _arrivals(line, (name,), way),
                (name,),
                ARRIVAL,
                TRAVEL,
            )


def _boxes(bench: Bench, line: TimeLine) -> list[Sequencer]:
    return of_kind(Sequencer, (bench.plan.parts[name] for name in line.boxes))


def _loose(bench: Bench, line: TimeLine) -> list[str]:
    """Return the legs of a function that no sequencer holds back."""
    loose = (p.id for w in wakings(bench.wiring) if w.box is None for p in w.parts)
    return [name for name in loose if name in line.movers]


def _box_times(bench: Bench, line: TimeLine, box: Sequencer, way: str) -> Iterator[BenchTest]:
    seen: dict[str, int] = {}
    if any(exchanged(bench.wiring, box)):
        bench.missing(f"{box.id}: when what arrives, as legs hang on outlets for doors")
        return
    for step in sorted(steps_of(box, way), key=lambda s: (s.end, s.outlet)):
        parts = on_outlets(bench.wiring, box).get(step.outlet, [])
        goal = goal_of(step)
        if not parts or goal is None:
            continue
        word = _goal_word(step, goal, door=all(is_door(p) for p in parts))
        stem = f"{box.id}.{way}.{step.outlet}-{word}"
        seen[stem] = seen.get(stem, 0) + 1
        stem += f"-{seen[stem]}" if seen[stem] > 1 else ""
        ids = tuple(p.id for p in parts)
        legs = tuple(p.id for p in parts if p.is_leg)
        span = _arrivals(line, legs, way) if legs else (step.end, step.end)
        origin = f"its step ends at {step.end:g} s (plan line {step.spans['end'].line})"
        if legs:
            origin = f"its step starts at {step.start:g} s (plan line {step.spans['start'].line});"
            origin += f" {ARRIVAL}"
        title = f"gear {way}: {spoken(ids)} {'is' if len(ids) == 1 else 'are'} {word} after"
        yield _timed(bench, stem, title, span, ids, origin)


def _goal_word(step: Step, goal: float, *, door: bool) -> str:
    words = ("closed", "open") if door else ("up", "down")
    return {0.0: words[0], 1.0: words[1]}.get(goal, step.to.replace(" ", ""))


def _arrivals(line: TimeLine, legs: tuple[str, ...], way: str) -> tuple[float, float]:
    """Return when legs have arrived: as usual, and when they are slow."""
    found = []
    for name in (way, f"slow-{way}"):
        run = line.run(name)
        ends = [e.time for e in run.events if e.part in legs and e.what == f"is {way}"]
        found.append(max(ends, default=float(run.times[-1])))
    return found[0], found[1]


def _timed(
    bench: Bench,
    stem: str,
    title: str,
    span: tuple[float, float],
    ids: tuple[str, ...],
    why: str,
    mend: str = STEPS,
) -> BenchTest:
    watch = bench.rule("protocol", "stopwatch")
    return BenchTest(
        f"gear-time.{stem}",
        title,
        band(TIME, max(span[0] - watch.number, 0.0), span[1] + watch.number),
        f"{why}; {watch.number:g} s for the watch ({watch.origin})",
        mend,
        (),
        "off",
        ids,
        bench.codes(ids),
    )


def _volts(bench: Bench, line: TimeLine) -> Iterator[BenchTest]:
    """The lowest volts that what moves gets while the gear runs, as the time line has it."""
    least = bench.rule("rail", "minimum")
    runs = [run for run in line.runs if run.name in DIRECTIONS]
    for name in line.boxes:
        lows = [float(run.volts[name].min()) for run in runs if name in run.volts]
        highs = [float(run.volts[name].max()) for run in runs if name in run.volts]
        if lows:
            yield BenchTest(
                f"rail-gear.{name}",
                f"lowest volts on the rail of sequencer {name} while the gear runs both ways",
                band(VOLTAGE, least.number, None, (min(lows), max(highs)), "the time line"),
                f"{least.number:g} V ({least.origin})",
                sags(bench),
                (),
                "off",
                (name,),
            )
