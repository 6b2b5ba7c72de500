"""Currents by throttle as they were read, laid into the tables that a plan has of its motors."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.bench.protocol import Protocol, percent
from harness.parts.motor import Motor, MotorReading
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import SetKey, apply
from harness.reading.problems import PlanError


@dataclass(frozen=True, slots=True)
class MeasuredTable:
    """What was `read` of a motor by throttle, and its whole table then, `lines` by throttle.

    `tests`: what it was read in; `failed`: those of them that missed what was expected; `wrong`:
    what in the table cannot be, or "".
    """

    motor: Motor
    read: Mapping[float, MotorReading]
    lines: tuple[MotorReading, ...]
    tests: tuple[str, ...]
    failed: tuple[str, ...]
    wrong: str = ""

    @property
    def text(self) -> str:
        """Return it as a plan has it on one line."""
        lines = (", ".join(map(": ".join, fields_of(one))) for one in self.lines)
        return f"[{', '.join(f'{{{line}}}' for line in lines)}]"

    @property
    def why(self) -> str:
        """Say where it comes from, and what a current without its volts is taken for."""
        bare = [percent(throttle) for throttle, one in self.read.items() if not one.volts]
        volts = "those of full throttle" if self.motor.full_volts() else "the nominal ones"
        return "read with a wattmeter" + f" ({spoken(bare)} without volts: {volts})" * bool(bare)


def fields_of(one: MotorReading) -> tuple[tuple[str, str], ...]:
    """Return a line of a table as it is written."""
    volts = [("volts", f"{one.volts:.6g} V")] if one.volts is not None else []
    return ("throttle", percent(one.throttle)), ("current", f"{one.current:.6g} A"), *volts


def tables_of(
    protocol: Protocol, numbers: Mapping[str, float], failed: Collection[str]
) -> Iterator[MeasuredTable]:
    """Yield the table of every motor for which something was read that it does not say yet.

    `numbers` by test, in A and V; `failed`: those that missed what was expected.
    """
    read_in = {
        name: test for name, test in protocol.tests.items() if test.point and name in numbers
    }
    for motor in protocol.motors.values():
        read: dict[float, dict[str, float]] = defaultdict(dict)
        names = [name for name, test in read_in.items() if motor.id in test.parts]
        for name in names:
            throttle, what = read_in[name].point or (0.0, "")
            share = _share(motor, protocol, read_in[name].parts) if what == "amps" else 1.0
            read[throttle][what] = numbers[name] * share
        lines = {
            at: line
            for at, values in read.items()
            if "amps" in values
            if (
                line := MotorReading(throttle=at, current=values["amps"], volts=values.get("volts"))
            )
            and fields_of(line) not in map(fields_of, motor.measured)
        }
        if lines:
            whole = {one.throttle: one for one in motor.measured} | lines
            rising = tuple(whole[at] for at in sorted(whole))
            bad = tuple(name for name in names if name in failed)
            wrong = "" if bad else next(_wrong(motor, rising), "")
            yield MeasuredTable(motor, lines, rising, tuple(names), bad, wrong)


def _share(motor: Motor, protocol: Protocol, parts: Collection[str]) -> float:
    """Return what part of a current is a motor's: by full throttle, of those on one ESC."""
    full = {name: one.full() for name, one in protocol.motors.items() if name in parts}
    amps = {name: figure.number for name, figure in full.items() if figure is not None}
    return amps[motor.id] / sum(amps.values())


def _wrong(motor: Motor, lines: tuple[MotorReading, ...]) -> Iterator[str]:
    for one in lines:
        if not one.current or one.volts == 0:
            word = "volts" if one.current else "amps"
            yield f"{motor.named()} runs at {percent(one.throttle)} throttle on no {word}"
    yield from (message for message, _ in replace(motor, measured=lines).falls())


def plan_text(plan: Plan, tables: Collection[MeasuredTable]) -> str:
    """Return the text of a plan with some tables in it, and everything else as it stood.

    Raises Refusal where that would be no plan: another part shares the text that changes.
    """
    text = apply(plan, [SetKey(table.motor.id, "measured", table.text) for table in tables])
    try:
        parse_plan(Source(plan.source.name, text))
    except PlanError as error:
        why = error.problems[0].message
        raise Refusal(f"with what was read it would be no plan: {why}; write it by hand") from None
    return text
