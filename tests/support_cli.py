"""Runs the real command line, each command in a process of its own."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

GOOD = """\
plan: 1
aircraft: Test
channels: {1: aileron}
receivers: {rx: {sockets: 4}}
servos:
  a: {class: 9g-analogue, moves: aileron, plug: rx.1}
packs: {p: {chemistry: nimh, cells: 4, capacity: 2 Ah, rate: 5 C, plug: rx.batt}}
flight: [{phase: on, time: 60 s}]
"""
TWICE = GOOD.replace("packs:", "  b: {like: a, plug: rx.1}\npacks:")
"""One fault that is an error by any rule: two plugs in one socket."""


@dataclass(frozen=True)
class Ran:
    """What one run of the program gave back; `cpu` in seconds."""

    code: int
    out: str
    err: str
    cpu: float


Run = Callable[..., Ran]
Fault = dict[str, object]
ORDINARY = ["setpriv", "--bounding-set", "-all", "--inh-caps", "-all"] * (os.geteuid() == 0)
"""What takes from root what an ordinary user has not: to read and write all, to begin with."""
TOLD = ("PYTHON", "LANG", "LC_")
"""What the environment says to Python itself, which listens as it starts."""


def runner(folder: Path) -> Run:
    """Return a function that runs `harness` with arguments in a folder.

    A command is a copy of a process that has the program loaded (`started.py`), or starts `anew`.
    It is run by an ordinary user, also where the tests are not. `fault`: what happens to the copy,
    as `started.suffer` reads it.
    """

    def call(
        *words: str, stdin: bytes = b"", anew: bool = False, fault: Fault | None = None, **env: str
    ) -> Ran:
        environment = {**os.environ, **env}
        if anew or any(name.startswith(TOLD) for name in env):
            return _anew(folder, words, stdin, environment)
        return _forked(folder, words, stdin, environment, fault or {})

    return call


def _anew(folder: Path, words: tuple[str, ...], stdin: bytes, environment: dict[str, str]) -> Ran:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [*ORDINARY, sys.executable, "-m", "harness", *words],
        input=stdin, capture_output=True, cwd=folder, env=environment, timeout=30, check=False,
    )  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Ran(done.returncode, _text(done.stdout), _text(done.stderr), cpu)


@cache
def _loaded() -> subprocess.Popen[str]:
    """The process that has the program loaded; it ends with its standard input."""
    started = Path(__file__).with_name("started.py")
    line = [
        *ORDINARY,
        sys.executable,
        "-P",
        str(started),
        str(Path(__file__).parents[1] / "examples/dunlin-4.yaml"),
    ]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    return subprocess.Popen(
        line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
    )


def _forked(
    folder: Path, words: tuple[str, ...], stdin: bytes, environment: dict[str, str], fault: Fault
) -> Ran:
    with TemporaryDirectory() as here:
        streams = [Path(here, name) for name in ("in", "out", "err")]
        for path, data in zip(streams, (stdin, b"", b""), strict=True):
            path.write_bytes(data)
        order = {"words": words, "folder": str(folder), "environment": environment,
                 "streams": [str(path) for path in streams], "fault": fault}  # fmt: skip
        process = _loaded()
        assert process.stdin is not None and process.stdout is not None
        process.stdin.write(json.dumps(order) + "\n")
        process.stdin.flush()
        code, cpu = json.loads(process.stdout.readline())
        return Ran(code, _text(streams[1].read_bytes()), _text(streams[2].read_bytes()), cpu)


def _text(data: bytes) -> str:
    return data.decode("utf-8", "backslashreplace")
