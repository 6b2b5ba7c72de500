"""Which test runs which line, by coverage.py; each file of tests in a process of its own.

A record is kept under out/mutants/ for as long as the house and the file of tests are as they were.
"""

from __future__ import annotations

import hashlib
import json
import os
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import coverage
import pytest
from mutants.trial import forked, pytest_run

GRACE = 30.0
"""Seconds for the last test of a file whose time is up."""

LOADING = 8.0
"""Seconds of processor for what the recorded test found loaded already."""
TIMES = 5
"""So many times the longest test of its file, which may have made what all of them use."""


def processor() -> float:
    """Seconds of processor this process and those it ended have had."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


class Recorder:
    """Names the running test to coverage.py, and notes how long each that passes takes."""

    first_failure = False

    def __init__(self, cover: coverage.Coverage, end: float) -> None:
        self.cover = cover
        self.end = end
        self.cut = False
        self.took: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        if time.monotonic() > self.end:
            self.cut = True
            item.session.shouldstop = "no time for more"
            return (yield)
        begun = processor()
        self.cover.switch_context(item.nodeid)
        self.took[item.nodeid] = 0.0
        result = yield
        self.cover.switch_context("")
        if item.nodeid in self.took:
            self.took[item.nodeid] = round(processor() - begun, 3)
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.outcome != "passed":
            self.took.pop(report.nodeid, None)


class Chosen:
    """Lets only the chosen tests run, in the order chosen, each for its seconds of processor."""

    first_failure = True

    def __init__(self, tests: dict[str, float]) -> None:
        self.tests = tests
        signal.setitimer(signal.ITIMER_PROF, 60)

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        rank = {name: n for n, name in enumerate(self.tests)}
        items[:] = sorted((i for i in items if i.nodeid in rank), key=lambda i: rank[i.nodeid])

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        signal.setitimer(signal.ITIMER_PROF, self.tests[item.nodeid])
        return (yield)


@dataclass(frozen=True)
class Record:
    """What was recorded of one file of tests; `whole` unless time was up."""

    data: Path
    took: dict[str, float]
    whole: bool

    @property
    def most(self) -> float:
        """Seconds a test of the file may take of a mutant before it is stopped."""
        return LOADING + TIMES * max(self.took.values(), default=0.0)


def key_of(root: Path, file: str) -> str:
    """Other when the house, what tests share, or this file of tests is other."""
    told = hashlib.sha256()
    for path in [*_shared(root), root / file]:
        told.update(path.relative_to(root).as_posix().encode() + path.read_bytes())
    return told.hexdigest()[:16]


def _shared(root: Path) -> list[Path]:
    found = [
        *root.glob("harness/**/*.py"),
        *root.glob("tests/**/*.py"),
        *root.glob("examples/**/*.yaml"),
    ]
    return sorted(p for p in found if not p.name.startswith("test_") and "mutants" not in p.parts)


def record(tree: Path, file: str, include: list[str], at: Path, end: float) -> Record | None:
    """Run a file's tests and note what they touch of `include`; None when it could not be run.

    No test begins after `end`, on the monotonic clock.
    """
    kept = _kept(at)
    if kept is None or not kept.whole:
        for old in (".lines", ".json"):
            at.with_suffix(old).unlink(missing_ok=True)
        most = end - time.monotonic() + GRACE
        forked(tree, lambda: _recorded(tree, file, include, at, end), most)
    return _kept(at)


def _kept(at: Path) -> Record | None:
    if not at.with_suffix(".json").exists():
        return None
    return Record(at.with_suffix(".lines"), *json.loads(at.with_suffix(".json").read_text()))


def _recorded(tree: Path, file: str, include: list[str], at: Path, end: float) -> int:
    cover = coverage.Coverage(
        data_file=str(at.with_suffix(".lines")), include=include, config_file=False
    )
    cover.set_option("run:relative_files", True)
    cover.set_option("run:core", "ctrace")  # the newer one knows no contexts
    cover.start()
    recorder: Any = Recorder(cover, end)
    code = pytest_run(tree, [file], recorder)
    cover.stop()
    cover.save()
    part = at.with_suffix(".part")
    part.write_text(json.dumps([recorder.took, not recorder.cut]))
    part.replace(at.with_suffix(".json"))
    return code
