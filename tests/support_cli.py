"""Runs the real command line in a process of its own."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

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


def runner(folder: Path) -> Run:
    """Return a function that runs `harness` with arguments in a folder."""

    def call(*args: str, stdin: bytes = b"", **env: str) -> Ran:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run(
            [sys.executable, "-m", "harness", *args],
            input=stdin,
            capture_output=True,
            cwd=folder,
            env={**os.environ, **env},
            timeout=30,
            check=False,
        )
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        return Ran(done.returncode, _text(done.stdout), _text(done.stderr), cpu)

    return call


def _text(data: bytes) -> str:
    return data.decode("utf-8", "backslashreplace")
