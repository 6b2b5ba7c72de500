"""Runs as a process: makes documents of plans by the command line, and prints what came of them.

Arguments: `every` document or what is `solved`, then the plans.
Whatever is told to Python and to its libraries as they start, the process was started with. A line
of JSON for all: the SHA-256 of what each command wrote and printed, by its words.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from started import become

from harness.cli.main import main
from harness.documents.index import DOCUMENTS
from harness.electrics.cases import cases_of
from harness.plan.load import load_plan
from harness.rules.run import check

APART = {"compare", "record", "trace", "book"}
"""Commands that ask for more than a plan, or make too much of the same."""
DONE = 77
SOLVED = (("load", "json"), ("load", "pdf"), ("endurance", "json"), ("equalise", "csv"))


def every(plan: str) -> Iterator[tuple[str, ...]]:
    """Yield the words of commands that make every document of a plan in every format."""
    for document in DOCUMENTS:
        name, *more = document.command.split() or ("",)
        for to in document.formats if name not in {*APART, "", "labels"} else ():
            option = "--format" if name == "check" else "--to"
            if name == "timeline":
                more = ["--function", "aileron"]
            if to != "spice":
                yield name, plan, *more, option, to
    yield "labels", plan
    yield "labels", "--test-page"
    yield "book", plan
    yield "draw", plan, "--case", "worst", "--to", "pdf"
    yield from solved(plan)


def solved(plan: str) -> Iterator[tuple[str, ...]]:
    """Yield the words of those that ask most of the solver."""
    for command, to in SOLVED:
        yield command, plan, "--to", to
    yield "load", plan, "--tolerance", "20", "--to", "json"
    for case in cases_of(load_plan(plan))[:4]:
        yield "load", plan, "--to", "spice", "--case", case.name


def run(words: tuple[str, ...], folder: str, streams: list[str]) -> int:
    """Be the command; whatever goes wrong on the way there is no end that counts."""
    with contextlib.suppress(Exception):
        become({"folder": folder, "environment": dict(os.environ), "streams": streams,
                "words": words, "fault": {}})  # fmt: skip
        signal.alarm(0)  # a book on a busy machine takes its time
        try:
            main()
        except SystemExit as left:
            print(left.code, flush=True)
            return DONE
    return 1


def sums(words: tuple[str, ...]) -> dict[str, str]:
    """Run a command in a copy of this process, and return the sums of what it made."""
    with TemporaryDirectory() as folder, TemporaryDirectory() as beside:
        streams = [Path(beside, name) for name in ("in", "out", "err")]
        for path in streams:
            path.touch()
        if not (pid := os.fork()):
            os._exit(run(words, folder, list(map(str, streams))))  # it takes no folder away
        _, status = os.waitpid(pid, 0)
        assert os.waitstatus_to_exitcode(status) == DONE, words
        made = [*streams[1:], *sorted(p for p in Path(folder).rglob("*") if p.is_file())]
        return {f"{' '.join(words)}: {path.name}": hashlib.sha256(path.read_bytes()).hexdigest()
                for path in made}  # fmt: skip


if __name__ == "__main__":
    which, *asked = sys.argv[1:]
    commands = every if which == "every" else solved
    check(load_plan(asked[0]))  # loads what commands load
    print(json.dumps({name: sum_ for plan in asked for words in commands(plan)
                      for name, sum_ in sums(words).items()}))  # fmt: skip
