"""Currents by throttle as they were read, laid into the tables that a plan has of its motors."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.bench.protocol import Protocol, percent
from harness.parts.motor import Motor, MotorReading
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import ListLine, SetLines, apply

Lines = Mapping[float, MotorReading]


@dataclass(frozen=True, slots=True)
class MeasuredTable:
    """What was `read` of a motor by throttle, and its whole table then, `lines` by throttle.

    `tests`: what it was read in; `failed`: those of them that missed what was expected; `wrong`:
    what in the table cannot be, or "".
    """

    motor: Motor
    read: Lines
    lines: tuple[MotorReading, ...]
    tests: tuple[str, ...]
    failed: tuple[str, ...]
    wrong: str = ""

    @property
    def text(self) -> str:
        """Return the key with its value, as a plan has it on one line."""
        lines = (
            ", ".join(f"{key}: {value}" for key, value in fields_of(one)) for one in self.lines
        )
        return f"measured: [{', '.join(f'{{{line}}}' for line in lines)}]"

    @property
    def why(self) -> str:
        """Say where it comes from, and what a current without its volts is taken for."""
        bare = [percent(throttle) for throttle, one in self.read.items() if not one.volts]
        taken = (
            ", at the volts of full throttle" if self.motor.full_volts() else ", at nominal volts"
        )
        return f"read with a wattmeter{f' ({spoken(bare)}{taken})' if bare else ''}"

    @property
    def edit(self) -> SetLines:
        """Return what changes in the plan's text."""
        was = {one.throttle: place for place, one in enumerate(self.motor.measured)}
        return SetLines(self.motor.id, "measured", tuple(
            ListLine(was.get(one.throttle), fields_of(one), one.throttle in self.read)
            for one in self.lines
        ))  # fmt: skip


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
    tests = {name: test.point for name, test in protocol.tests.items() if name in numbers}
    for motor in protocol.motors.values():
        read: dict[float, dict[str, float]] = defaultdict(dict)
        names = [name for name, point in tests.items() if point and motor.id in point.shares]
        for name in names:
            if point := tests[name]:
                share = point.shares[motor.id] if point.key == "current" else 1.0
                read[point.throttle][point.key] = numbers[name] * share
        lines = {at: MotorReading(throttle=at, current=values["current"], volts=values.get("volts"))
                 for at, values in read.items() if "current" in values}  # fmt: skip
        known = {fields_of(one) for one in motor.measured}
        lines = {at: line for at, line in lines.items() if fields_of(line) not in known}
        if lines:
            whole = {one.throttle: one for one in motor.measured} | lines
            rising = tuple(whole[at] for at in sorted(whole))
            bad = tuple(name for name in names if name in failed)
            wrong = "" if bad else next(_wrong(motor, rising), "")
            yield MeasuredTable(motor, lines, rising, tuple(names), bad, wrong)


def _wrong(motor: Motor, lines: tuple[MotorReading, ...]) -> Iterator[str]:
    for one in lines:
        if not one.current or one.volts == 0:
            word = "volts" if one.current else "amps"
            yield f"{motor.named()} runs at {percent(one.throttle)} throttle on no {word}"
    yield from (message for message, _ in replace(motor, measured=lines).falls())


def plan_text(plan: Plan, tables: Collection[MeasuredTable]) -> str:
    """Return the text of a plan with some tables in it, and everything else as it stood.

    Raises Refusal where other parts share the text that would change; PlanError where the whole
    would be no plan.
    """
    wanted = {motor.id: motor.measured for motor in plan.of(Motor)}
    wanted |= {table.motor.id: table.lines for table in tables}
    text = apply(plan, [table.edit for table in tables])
    for motor in parse_plan(Source(plan.source.name, text)).of(Motor):
        if [*map(fields_of, motor.measured)] != [*map(fields_of, wanted[motor.id])]:
            raise Refusal(f'the table of "{motor.id}" shares its text (&, *): write it out first')
    return text
