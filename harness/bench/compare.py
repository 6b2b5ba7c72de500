"""Reads what was measured by what its test expects, and lays it against that."""

from __future__ import annotations

import re
from collections.abc import Mapping

from harness.base.data import dataclass, replace
from harness.base.near import hint
from harness.base.span import Span
from harness.base.units import UnitError, format_quantity, parse_quantity
from harness.bench.directions import CAREFUL
from harness.bench.protocol import BenchTest, Edit, ExpectedRange, Protocol, Word
from harness.bench.tables import MeasuredTable, tables_of
from harness.plan.results import MeasuredValue, Record, Results
from harness.reading.kinds import Choice, Truth
from harness.reading.nodes import Scalar
from harness.reading.problems import PlanError, Problem, Reading

_BARE = re.compile(r"[0-9]+(?:\.[0-9]+)?")
WORDS_OF_TRUTH = frozenset({"yes", "no", "true", "false", "on", "off"})


@dataclass(frozen=True, slots=True)
class ReadValue:
    """A measured value: its text, and its number in the unit of its test if it is one."""

    text: str
    number: float | None = None


def values_of(protocol: Protocol, results: Results) -> dict[str, ReadValue]:
    """Return the values of every test that was made and that the protocol knows.

    Raises PlanError with every value that cannot be read.
    """
    at = Reading()
    tests = protocol.tests
    found = {
        name: value_of(tests[name], given, at)
        for name, given in results.tests.items()
        if given.measured and name in tests
    }
    if at.problems:
        raise PlanError(results.source, at.problems)
    return {name: value for name, value in found.items() if value is not None}


def value_of(test: BenchTest, given: MeasuredValue, at: Reading) -> ReadValue | None:
    """Return a value, or None with a problem noted."""
    if isinstance(test.expected, ExpectedRange):
        return _number(test.expected, given, at)
    return _word(test.expected, given, at)


def _number(expected: ExpectedRange, given: MeasuredValue, at: Reading) -> ReadValue | None:
    dimension, bare = expected.dimension, given.measured.strip()
    wrong = f'"{bare}" has no unit: write "{bare} {dimension.unit}"'
    if not _BARE.fullmatch(bare):
        try:
            number = parse_quantity(given.measured, dimension)
            return ReadValue(f"{number:.6g} {dimension.unit}", number)
        except UnitError as error:
            wrong = str(error)
    at.wrong(wrong, given.place, f"this test is a {dimension.name}: {expected.text}")
    return None


def _word(expected: Word, given: MeasuredValue, at: Reading) -> ReadValue | None:
    node = Scalar(given.measured.strip().lower(), True, given.place)
    if expected.kind == "yes or no":
        if node.text not in WORDS_OF_TRUTH:
            at.wrong(f'"{given.measured}" is neither yes nor no', given.place, "write yes or no")
            return None
        return ReadValue("yes" if Truth().read(node.text) else "no")
    words = expected.choices
    if "off" in words and node.text in {"no", "false"}:  # YAML 1.1 takes these for one word
        node = Scalar("off", True, given.place)
    if node.text in words:
        return ReadValue(node.text)
    choice = Choice(dict.fromkeys(words, ""))
    choice.refuse(node, at, choice.schema())
    return None


PASS, FAIL, NOT_DONE, NOT_HERE = "pass", "fail", "not done", "not a test here"


@dataclass(frozen=True, slots=True)
class Compared:
    """One test and how it came out.

    `apart`: by how much it misses, in words; `remark`: it passes, and is still not what the plan
    leads one to expect; `mend`: what to do; `line` and `column` in the results file.
    """

    id: str
    verdict: str
    test: BenchTest | None = None
    value: ReadValue | None = None
    note: str = ""
    apart: str = ""
    remark: str = ""
    mend: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """A measured value that may go into the plan: what to write, and at which part and line."""

    part: str
    line: int
    write: str
    why: str


@dataclass(frozen=True, slots=True)
class Changed:
    """A test whose expected value is another than when its form was made."""

    id: str
    then: str
    now: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Results laid against a protocol.

    `told`: whether it is known what the form's revision expected, if it was another one; `tables`:
    of currents by throttle, as the plan may take them over.
    """

    protocol: Protocol
    results: Results
    compared: tuple[Compared, ...]
    proposals: tuple[Correction, ...] = ()
    changed: tuple[Changed, ...] = ()
    told: bool = True
    tables: tuple[MeasuredTable, ...] = ()

    def by(self, verdict: str) -> list[Compared]:
        """Return the tests that came out one way, in their order."""
        return [one for one in self.compared if one.verdict == verdict]

    @property
    def other_revision(self) -> bool:
        """Whether the results are for another revision of the plan."""
        return self.results.revision != self.protocol.revision

    @property
    def passed(self) -> bool:
        """Whether everything that was given has passed."""
        return not self.by(FAIL) and not self.by(NOT_HERE)


def compare(protocol: Protocol, results: Results, record: Record | None = None) -> Comparison:
    """Compare results with what a plan expects.

    `record`: what was kept before; it may tell what another revision expected. Raises PlanError
    for results of another aeroplane, and for values that cannot be read.
    """
    _same_aeroplane(protocol, results)
    values = values_of(protocol, results)
    tests = protocol.tests
    found = [_one(test, results, values.get(name)) for name, test in tests.items()]
    verdicts = {one.id: one.verdict for one in found}
    found = [replace(one, mend=_turned(one, verdicts)) for one in found]
    found += [
        _unknown(name, results, tests)
        for name in results.tests
        if name not in tests and results.tests[name].measured
    ]
    tables = measured_tables(protocol, values)
    wrong = {name: table for table in tables for name in table.tests if table.wrong}
    found = [_contradicted(one, wrong.get(one.id)) for one in found]
    changed = _changes(protocol, results, record)
    return Comparison(
        protocol,
        results,
        tuple(found),
        tuple(proposals(protocol, values)),
        () if changed is None else changed,
        changed is not None,
        tuple(tables),
    )


def _contradicted(one: Compared, table: MeasuredTable | None) -> Compared:
    """A reading that passes by itself, and not beside the others of its motor."""
    if table is None:
        return one
    mend = "read them again, one throttle after the other; none of them goes into the plan"
    return replace(one, verdict=FAIL, apart=table.wrong, mend=mend)


def _same_aeroplane(protocol: Protocol, results: Results) -> None:
    if results.aircraft != protocol.aircraft:
        message = f'these results are of "{results.aircraft}", the plan is of "{protocol.aircraft}"'
        help_ = "name the plan they belong to"
        span = results.spans["aircraft"]
        raise PlanError(results.source, [Problem(message, span, help_)])


def _one(test: BenchTest, results: Results, value: ReadValue | None) -> Compared:
    given = results.tests.get(test.id)
    note = given.note if given else ""
    if value is None or given is None:
        return Compared(test.id, NOT_DONE, test, note=note)
    apart, remark = judged(test, value)
    verdict = FAIL if apart else PASS
    mend = test.mend if apart else ""
    return Compared(test.id, verdict, test, value, note, apart, remark, mend, given.place)


def _turned(one: Compared, verdicts: Mapping[str, str]) -> str:
    """Return what to do, for a direction drawn from all directions of its servo together."""
    turn = one.test.turn if one.test else None
    if one.verdict != FAIL or turn is None:
        return one.mend
    own, mates = ([verdicts.get(n, NOT_DONE) for n in pool] for pool in (turn.own, turn.mates))
    if PASS in own:
        return f"only this direction is wrong: {turn.axis}. {CAREFUL}"
    if NOT_DONE in own or (turn.alone and PASS not in mates and NOT_DONE in mates):
        return one.mend
    if PASS in mates:
        return f"the other on the same pulse is right: {turn.alone}. {CAREFUL}"
    which = "all of its directions are wrong: " if len(own) > 1 else ""
    return f"{which}{turn.whole}. {CAREFUL}"


def judged(test: BenchTest, value: ReadValue) -> tuple[str, str]:
    """Return by how much a value misses what is expected, and what is odd about one that does not.

    Both are "" where there is nothing to say.
    """
    expected = test.expected
    if not isinstance(expected, ExpectedRange):
        return ("" if value.text == expected.word else f"expected is {expected.word}"), ""
    number = value.number
    assert number is not None
    if expected.low is not None and number < expected.low:
        return f"{_gap(expected.low - number, expected)} too little", ""
    if expected.high is not None and number > expected.high:
        return f"{_gap(number - expected.high, expected)} too much", ""
    low, high = expected.usual or (number, number)
    if low <= number <= high:
        return "", ""
    side = "less" if number < low else "more"
    return "", f"{side} than the plan leads one to expect: {expected.usual_text}"


def _gap(number: float, expected: ExpectedRange) -> str:
    return format_quantity(round(number, 9), expected.dimension)


def _unknown(name: str, results: Results, tests: Mapping[str, BenchTest]) -> Compared:
    given = results.tests[name]
    near = hint(name, tests, most=0)
    mend = near or "the plan has no such test (any more); `harness protocol --to yaml` lists them"
    return Compared(
        name, NOT_HERE, None, ReadValue(given.measured), given.note, mend=mend, span=given.span
    )


def measured_tables(protocol: Protocol, values: Mapping[str, ReadValue]) -> list[MeasuredTable]:
    """Return the currents by throttle that the plan does not have, by motor."""
    failed = {name for name in values if judged(protocol.tests[name], values[name])[0]}
    numbers = {name: one.number for name, one in values.items() if one.number is not None}
    return list(tables_of(protocol, numbers, failed))


UNEXPECTED = ", once you know why it is not what was expected"


def proposals(protocol: Protocol, values: Mapping[str, ReadValue]) -> list[Correction]:
    """Return the measured values that the plan may take over, where it has another one."""
    found = []
    for name, test in protocol.tests.items():
        value, edit = values.get(name), test.edit
        if edit is None or value is None or value.number is None or value.number == edit.stated:
            continue
        why = "as metered" + UNEXPECTED * bool(judged(test, value)[0])
        found.append(Correction(edit.part, edit.line, f"`{_line(edit, value.text)}`", why))
    for table in measured_tables(protocol, values):
        why = table.why + UNEXPECTED * bool(table.failed)
        if not table.wrong:
            line = table.motor.at("measured").line
            found.append(Correction(table.motor.id, line, f"`measured: {table.text}`", why))
    return found


def _line(edit: Edit, text: str) -> str:
    """Return a whole line to write into the part; what stands in a mapping stands in it again."""
    fact = f"{edit.key}: {text}"
    return f"{edit.inside}: {{{', '.join((*edit.beside, fact))}}}" if edit.inside else fact


def _changes(
    protocol: Protocol, results: Results, record: Record | None
) -> tuple[Changed, ...] | None:
    """Return which expectations changed since the form was made; None where nobody knows."""
    if results.revision == protocol.revision:
        return ()
    then = dict(results.expected)
    for entry in record.entries if record else ():
        if results.revision in {entry.judged or entry.revision}:
            then = {n: j.expected for n, j in entry.tests.items() if j.expected} | then
    if not then:
        return None
    now = {name: test.expected.text for name, test in protocol.tests.items()}
    return tuple(
        Changed(name, then[name], now.get(name, "not tested any more"))
        for name in then
        if then[name] != now.get(name)
    )
