"""`python -m mutants`: puts faults into the house and looks which of them the tests notice.

`--size` faults are drawn by `--seed` from all that there are in the rooms, or from the lines that
differ from what the last commit (or the main branch) came from (`--changed`).
"""

from __future__ import annotations

import argparse
import compileall
import contextlib
import os
import random
import re
import signal
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from mutants.changed import changed_lines, parent_of
from mutants.choice import Choice, distance
from mutants.faults import Mutant, change, mutants_of
from mutants.record import Chosen, Record, key_of, record
from mutants.report import EQUIVALENT, Tried, equivalents, judged, share, told
from mutants.trial import copy_of, forked, load_libraries, mutated, pytest_run

ROOT = Path(__file__).parents[2]
ROOMS = ("rules", "facts", "electrics", "planner", "wiring")
JUDGES = (*ROOMS, "airframe", "bench", "plan", "parts")
"""Folders of tests that are asked; pictures, pages and commands take long and come after these."""
LONG, SHORT = 400.0, 15.0
"""Seconds of the clock to record a file of tests: for a sample of all, for that of a change."""
STUCK = 900.0
"""Seconds of the clock after which a mutant waits for something that never comes."""
BROAD = frozenset({"tests/rules/test_pages.py", "tests/rules/test_broken.py"})
"""Files of tests that look at every rule."""
FATES = {0: "survived", 1: "killed", 2: "killed", 3: "killed", 5: "survived"}
"""By pytest's exit code: none failed; some did, or could not be read; none were left to run."""
LEAST = 0.5
"""Share of a change's mutants that has to be killed; see DEVELOPERS.md."""
ENOUGH = 4
"""Fewer mutants than these say nothing."""


@dataclass(frozen=True)
class Wish:
    """What is asked for, as in `--help`; `half` and `end` on the monotonic clock."""

    seed: int
    size: int
    seconds: float
    workers: int
    half: float
    end: float


def tests_of(root: Path) -> list[str]:
    """The files of tests that are asked, those of the rooms first."""
    found = [path for room in JUDGES for path in sorted((root / "tests" / room).rglob("test_*.py"))]
    found += [root / "tests" / name for name in ("test_examples.py", "test_properties.py")]
    return [path.relative_to(root).as_posix() for path in found if path.exists()]


def sources_of(root: Path) -> list[str]:
    """The files faults are put into."""
    found = (path for room in ROOMS for path in (root / "harness" / room).rglob("*.py"))
    return sorted(path.relative_to(root).as_posix() for path in found)


def drawn(mutants: list[Mutant], seed: int, size: int) -> list[Mutant]:
    """A sample, the same for the same seed."""
    return random.Random(seed).sample(sorted(mutants), min(size, len(mutants)))


def attempt(tree: Path, mutant: Mutant, tests: dict[str, float], complete: bool) -> Tried | None:
    """Show a mutant to tests, which are `complete` or those known; None when it is none."""
    made = change(tree, mutant)
    if made is None:
        return None
    if not tests:
        return Tried(mutant, made, "untested" if complete else "unknown", 0)
    files = list(dict.fromkeys(test.partition("::")[0] for test in tests))

    def job() -> int:
        sys.dont_write_bytecode = True
        return pytest_run(tree, files, Chosen(tests))

    with mutated(tree / mutant.file, made.text):
        code = forked(tree, job, STUCK)
    if code is not None and code not in FATES:
        told_there = (tree.parent / "told").read_text()[-2000:]
        raise RuntimeError(f"the tests ended with {code}:\n{told_there}")
    fate = "stopped" if code is None else FATES[code]
    return Tried(mutant, made, fate, len(tests))


class Workers:
    """Processes with the libraries loaded, each with a copy of the tree of its own."""

    _tree: Path

    def __init__(self, root: Path, count: int) -> None:
        self._stack = contextlib.ExitStack()
        context = get_context("fork")
        trees = context.SimpleQueue()
        for _ in range(count):
            tree = self._stack.enter_context(copy_of(root))
            compileall.compile_dir(tree / "harness", quiet=2)
            trees.put(tree)
        self.pool = ProcessPoolExecutor(count, context, Workers._begin, (trees,))

    @staticmethod
    def _begin(trees: Any) -> None:
        Workers._tree = trees.get()

    @staticmethod
    def _do(job: Callable[..., Any], *about: Any) -> Any:
        return job(Workers._tree, *about)

    def each(
        self, job: Callable[..., Any], about: Iterable[tuple[Any, ...]], end: float
    ) -> Iterator[Any]:
        """What comes of a job in each case, as they end; none begins after `end`."""
        waiting = [self.pool.submit(Workers._before, end, job, *one) for one in about]
        for done in as_completed(waiting):
            yield done.result()

    @staticmethod
    def _before(end: float, job: Callable[..., Any], *about: Any) -> Any:
        return Workers._do(job, *about) if time.monotonic() < end else None

    def __enter__(self) -> Workers:
        return self

    def __exit__(self, *_: object) -> None:
        self.pool.shutdown(cancel_futures=True)
        self._stack.close()


def every_mutant(tree: Path, file: str) -> list[Mutant]:
    """Of a file, in a worker's tree."""
    return mutants_of(tree, file)


def recorded(
    tree: Path, file: str, include: list[str], at: Path, most: float, half: float
) -> Record | None:
    """Of a file of tests, in a worker's tree, for `most` seconds."""
    return record(tree, file, include, at, min(time.monotonic() + most, half))


def run(
    workers: Workers, mutants: list[Mutant], records: list[Record | None], wish: Wish
) -> list[Tried]:
    """Draw and try mutants until there are as many as asked for, or time is up."""
    choice = Choice(filter(None, records), wish.seconds)
    complete = all(record is not None and record.whole for record in records)
    sample = drawn(mutants, wish.seed, wish.size)
    tried: list[Tried] = []
    for one in workers.each(attempt, ((m, choice.tests(m), complete) for m in sample), wish.end):
        if one is not None:
            tried.append(one)
            print(f"{len(tried)} of {len(sample)}: {one.fate}, {one.place}", file=sys.stderr)
    return tried


def whole(workers: Workers, root: Path, wish: Wish) -> list[Tried]:
    """A sample of all that can be put into the rooms."""
    sources = sources_of(root)
    mutants = [
        m
        for found in workers.each(every_mutant, ((s,) for s in sources), wish.end)
        for m in found or ()
    ]
    kept = root / "out" / "mutants"
    kept.mkdir(parents=True, exist_ok=True)
    files = tests_of(root)
    include = [f"harness/{room}/*" for room in ROOMS]
    cases = ((file, include, kept / key_of(root, file), LONG, wish.half) for file in files)
    records = list(workers.each(recorded, cases, wish.half))
    known = sum(record is not None for record in records)
    print(f"{len(mutants)} faults can be put in; {known} of {len(files)} files of tests known")
    return run(workers, mutants, records, wish)


def touched(workers: Workers, root: Path, wish: Wish) -> list[Tried] | None:
    """A sample of the lines of a change; None, with a line that says why, where there are none.

    At most half the time goes to recording: the tests named for the modules, of their folders, and
    those that import them, as many as there is time for.
    """
    parent = parent_of(root)
    if not parent:
        print("no commit before this one in this clone: nothing to compare with")
        return None
    lines = changed_lines(root, parent)
    files = sorted(lines.keys() & set(sources_of(root)))
    every = (
        m
        for found in workers.each(every_mutant, ((f,) for f in files), wish.end)
        for m in found or ()
    )
    mutants = [m for m in every if lines[m.file].intersection(range(m.start, m.line + 1))]
    if not mutants:
        print(f"no line since {parent[:8]} that a fault could be put into")
        return None
    sample = drawn(mutants, wish.seed, wish.size)
    judges = near(root, [m.file for m in sample])
    print(f"{len(mutants)} faults can be put into the lines since {parent[:8]}")
    with TemporaryDirectory() as folder:
        cases = (
            (file, files, Path(folder, str(n)), SHORT, wish.half) for n, file in enumerate(judges)
        )
        records = list(workers.each(recorded, cases, wish.half))
        return run(workers, sample, records, wish)


def near(root: Path, sources: list[str]) -> list[str]:
    """Files of tests that may know of some modules, the nearest first."""
    names = {source.removesuffix(".py").replace("/", ".") for source in sources}
    found: list[tuple[int, str]] = []
    for file in tests_of(root):
        words = set(re.findall(r"[\w.]+", (root / file).read_text()))
        away = min(distance(file, source) for source in sources)
        if away < 2 or words & names or file in BROAD:
            found.append((away if away == 0 or words & names else away + 1, file))
    return [file for _, file in sorted(found)]


def main() -> int:
    """0, or 1 where a change's tests let too much through."""
    parser = argparse.ArgumentParser(prog="mutants", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="another sample for another number")
    parser.add_argument("--size", type=int, default=200, help="how many faults")
    parser.add_argument("--seconds", type=float, default=15, help="of tests shown to a fault")
    parser.add_argument("--minutes", type=float, default=30, help="none is begun after these")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--changed", action="store_true", help="only lines of the last change")
    parser.add_argument("--tree", type=Path, default=ROOT, help="where harness/ and tests/ are")
    parser.add_argument("--equivalent", type=Path, default=EQUIVALENT, help="faults that are none")
    asked = parser.parse_args()
    for word in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ.setdefault(word, "1")
    now = time.monotonic()
    half, end = now + 30 * asked.minutes, now + 60 * asked.minutes
    wish = Wish(asked.seed, asked.size, asked.seconds, asked.workers, half, end)
    load_libraries()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    with Workers(asked.tree, wish.workers) as workers:
        tried = (touched if asked.changed else whole)(workers, asked.tree, wish)
    if tried is None:
        return 0
    known = equivalents(asked.equivalent.read_text())
    print(*told(tried, known), sep="\n")
    faults = judged(tried, known)
    return int(asked.changed and len(faults) >= ENOUGH and share(faults) < LEAST)


if __name__ == "__main__":
    sys.exit(main())
