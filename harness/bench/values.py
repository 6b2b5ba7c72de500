"""Reads what was measured by what its test expects: a number with unit, yes or no, a word."""

from __future__ import annotations

import re
from dataclasses import dataclass

from harness.base.units import UnitError, parse_quantity
from harness.bench.trial import BenchTest, ExpectedRange, Protocol, Word
from harness.plan.results import MeasuredValue, Results
from harness.reading.kinds import Choice, Reading, Truth
from harness.reading.nodes import Scalar
from harness.reading.problems import PlanError

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
    if _BARE.fullmatch(bare):
        unit = dimension.unit
        at.wrong(f'"{bare}" has no unit: write "{bare} {unit}"', given.place,
                 f"this test is a {dimension.name}: {expected.text}")  # fmt: skip
        return None
    try:
        number = parse_quantity(given.measured, dimension)
    except UnitError as error:
        at.wrong(str(error), given.place, f"this test is a {dimension.name}: {expected.text}")
        return None
    return ReadValue(f"{number:.6g} {dimension.unit}", number)


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
