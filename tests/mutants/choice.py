"""Which tests a mutant is shown, and in which order: those that run its line, the nearest first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import cache
from pathlib import PurePath

import coverage
from mutants.faults import Mutant
from mutants.record import Record


class Choice:
    """What is recorded of all files of tests."""

    def __init__(self, records: Iterable[Record], seconds: float) -> None:
        self.records = list(records)
        self.seconds = seconds
        self.took = {test: took for record in self.records for test, took in record.took.items()}
        self.most = {test: record.most for record in self.records for test in record.took}
        self.of_file: dict[str, list[str]] = defaultdict(list)
        for test in self.took:
            self.of_file[test.partition("::")[0]].append(test)

    def tests(self, mutant: Mutant) -> dict[str, float]:
        """As many tests as have time, and when to stop each; none when no test runs the line.

        First the file named for the module, then its folder, then all others, turn and turn about
        by the time each file has had. Behind them stand the other tests of these files: what is
        worked out once (`@cache`) is recorded for the test that came first.
        """
        lines = self._lines(mutant.file)
        if mutant.run:  # of a statement over several lines, not each has code of its own
            known = (n for n in range(mutant.line, mutant.start - 1, -1) if n in lines)
            ran = lines[next(known, 0)]
        else:
            ran = {test for tests in lines.values() for test in tests}
        files = {test.partition("::")[0] for test in ran}
        chosen = _in_turn((t for t in ran if t in self.took), self.took, mutant.file)
        beside = (t for file in files for t in self.of_file[file] if t not in ran)
        chosen += _in_turn(beside, self.took, mutant.file)
        return self._in_time(chosen)

    def _in_time(self, chosen: list[str]) -> dict[str, float]:
        found: dict[str, float] = {}
        spent = 0.0
        for test in chosen:
            if spent + self.took[test] <= self.seconds:
                found[test] = self.most[test]
                spent += self.took[test]
        return found

    @cache  # noqa: B019
    def _lines(self, file: str) -> dict[int, set[str]]:
        found: dict[int, set[str]] = defaultdict(set)
        for record in self.records:
            data = coverage.CoverageData(str(record.data))
            data.read()
            for line, contexts in data.contexts_by_lineno(file).items():
                found[line].update(set(contexts) - {""})
            data.close()
        return found


def distance(test: str, module: str) -> int:
    """0 for the file of tests named for a module, 1 for one in its folder, 2 for any other."""
    there = PurePath(module).relative_to("harness")
    here = PurePath(test.partition("::")[0]).relative_to("tests")
    if here == there.with_name(f"test_{there.name}"):
        return 0
    return 1 if here.parent == there.parent else 2


def _in_turn(tests: Iterable[str], took: dict[str, float], module: str) -> list[str]:
    spent: dict[str, float] = defaultdict(float)
    ranked: list[tuple[int, float, str]] = []
    for test in sorted(tests, key=lambda t: (took[t], t)):
        file = test.partition("::")[0]
        spent[file] += took[test] + 0.001
        ranked.append((distance(test, module), spent[file], test))
    return [test for *_, test in sorted(ranked)]
