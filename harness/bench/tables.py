"""Currents by throttle as they were read, laid into the tables that a plan has of its motors."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.bench.protocol import Protocol, percent
from harness.parts.motor import Motor, MotorReading
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import ListLine, SetLines, apply

TABLE = "measured"
"""The key of a motor that its table stands at."""


@dataclass(frozen=True, slots=True)
class MeasuredTable:
    """The table of a motor as it is to be: `lines` rise by throttle, those that were `read` too.

    `tests`: what was read for it; `held`: those of them that failed, so that it is not written
    unasked; `wrong`: what in it cannot be, or "".
    """

    motor: Motor
    lines: tuple[MotorReading, ...]
    read: frozenset[float]
    tests: tuple[str, ...]
    held: tuple[str, ...] = ()
    wrong: str = ""

    @property
    def ready(self) -> bool:
        """Whether it can go into the plan as it is."""
        return not self.held and not self.wrong

    @property
    def without_volts(self) -> str:
        """Return what a current without its volts is taken for, or ""."""
        bare = [one.throttle for one in self.lines if one.throttle in self.read and not one.volts]
        at = self.motor.full_volts()
        taken = f"{at:g} V" if at else "its pack's nominal volts"
        words = f" (no volts at {spoken(map(percent, bare))}: taken as read at {taken})"
        return words if bare else ""

    @property
    def text(self) -> str:
        """Return the key with its value, as a plan has it on one line."""
        lines = (
            ", ".join(f"{key}: {value}" for key, value in fields_of(one)) for one in self.lines
        )
        return f"{TABLE}: [{', '.join(f'{{{line}}}' for line in lines)}]"

    @property
    def edit(self) -> SetLines:
        """Return what changes in the plan's text."""
        was = {one.throttle: place for place, one in enumerate(self.motor.measured)}
        return SetLines(self.motor.id, TABLE, tuple(
            ListLine(was.get(one.throttle), fields_of(one), one.throttle in self.read)
            for one in self.lines
        ))  # fmt: skip


def fields_of(one: MotorReading) -> tuple[tuple[str, str], ...]:
    """Return a line of a table as it is written."""
    volts = [("volts", f"{one.volts:.6g} V")] if one.volts is not None else []
    return ("throttle", percent(one.throttle)), ("current", f"{one.current:.6g} A"), *volts


def tables_of(
    protocol: Protocol, numbers: Mapping[str, float], failed: Collection[str]
) -> list[MeasuredTable]:
    """Return the table of every motor for which something was read that it does not say yet.

    `numbers` by test, in A and V; `failed`: those that missed what was expected.
    """
    read: dict[str, dict[float, dict[str, float]]] = defaultdict(lambda: defaultdict(dict))
    tests: dict[str, list[str]] = defaultdict(list)
    for name, test in protocol.tests.items():
        point = test.point
        if point is None or name not in numbers:
            continue
        for part, share in point.shares.items():
            number = numbers[name] * (share if point.key == "current" else 1)
            read[part][point.throttle][point.key] = number
            tests[part].append(name)
    found = []
    for each, points in read.items():
        motor = protocol.motors[each]
        lines = {at: line for at, values in points.items() if (line := _line(motor, at, values))}
        if lines:
            held = tuple(one for one in tests[each] if one in failed)
            found.append(_table(motor, lines, tuple(tests[each]), held))
    return found


def _line(motor: Motor, at: float, values: Mapping[str, float]) -> MotorReading | None:
    """Return a line that the plan does not have; volts alone are none."""
    if "current" not in values:
        return None
    line = MotorReading(throttle=at, current=values["current"], volts=values.get("volts"))
    known = {(one.throttle, fields_of(one)) for one in motor.measured}
    full = motor.full()
    if full is not None and at == 1 and line.volts in {None, motor.full_volts()}:
        known.add((1, fields_of(replace(line, current=full.number))))
    return None if (at, fields_of(line)) in known else line


def _table(
    motor: Motor, lines: Mapping[float, MotorReading], tests: tuple[str, ...], held: tuple[str, ...]
) -> MeasuredTable:
    whole = {one.throttle: one for one in motor.measured} | dict(lines)
    rising = tuple(whole[at] for at in sorted(whole))
    wrong = "" if held else next(_wrong(motor, rising), "")
    return MeasuredTable(motor, rising, frozenset(lines), tests, held, wrong)


def _wrong(motor: Motor, lines: tuple[MotorReading, ...]) -> Iterator[str]:
    for one in lines:
        if not one.current or one.volts == 0:
            word = "volts" if one.current else "amps"
            yield f"{motor.named()} runs at {percent(one.throttle)} throttle on no {word}"
    yield from (message for message, _ in replace(motor, measured=lines).falls())


def plan_text(plan: Plan, tables: Iterable[MeasuredTable]) -> str:
    """Return the text of a plan with some tables in it, and everything else as it stood.

    Raises Refusal where other parts share the text that would change; PlanError where the whole
    would be no plan.
    """
    wanted = {table.motor.id: table for table in tables}
    text = apply(plan, [table.edit for table in wanted.values()])
    old = {motor.id: motor for motor in plan.of(Motor)}
    for motor in parse_plan(Source(plan.source.name, text)).of(Motor):
        lines = wanted[motor.id].lines if motor.id in wanted else old[motor.id].measured
        if sorted(map(fields_of, motor.measured)) != sorted(map(fields_of, lines)):
            raise Refusal(f'the table of "{motor.id}" shares its text (&, *): write it out first')
    return text
