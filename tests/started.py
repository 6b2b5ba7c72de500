"""Runs as a process that has loaded the program, and forks for each command it is told to run.

What a command loads first is two thirds of its time; `cli/test_lazy.py` and `cli/test_lean.py`
look at real starts, and `support_cli.runner` starts anew wherever Python itself is told something.
A line of JSON asks: arguments, folder, environment, and the files to stand for 0, 1 and 2; one
answers: exit code and processor seconds.
"""

from __future__ import annotations

import contextlib
import json
import os
import resource
import signal
import sys
from collections.abc import Callable
from typing import Any

MOST = 30
"""Seconds of a command."""


def serve(plan: str) -> None:
    """Load what `check` loads, then answer."""
    from harness.cli.main import main

    sys.argv = ["harness", "check", plan]
    with (
        open(os.devnull, "w") as nowhere,  # noqa: PTH123
        contextlib.redirect_stdout(nowhere),
        contextlib.suppress(SystemExit),
    ):
        main()
    for line in sys.stdin:
        order = json.loads(line)
        pid = os.fork()
        if not pid:
            become(order)
            main()
        _, status, used = os.wait4(pid, 0)
        answer = os.waitstatus_to_exitcode(status), used.ru_utime + used.ru_stime
        print(json.dumps(answer), flush=True)


def become(order: dict[str, Any]) -> None:
    """Put on the folder, the environment and the streams of a command, and what happens to it."""
    signal.alarm(MOST)
    os.chdir(order["folder"])
    os.environ.clear()
    os.environ.update(order["environment"])
    for number, path in enumerate(order["streams"]):
        there = os.open(path, os.O_RDWR)
        os.dup2(there, number)
        os.close(there)
    closed = lose(**{name: order["fault"].pop(name, ()) for name in ("closed", "broken", "full")})
    sys.stdin, sys.stdout, sys.stderr = (
        None if number in closed else open(number, mode, encoding="utf-8", errors=errors)  # noqa: PTH123, SIM115
        for number, mode, errors in ((0, "r", None), (1, "w", None), (2, "w", "backslashreplace"))
    )
    sys.argv = ["harness", *order["words"]]
    suffer(**order["fault"])


def lose(closed: list[int], broken: list[int], full: list[int]) -> list[int]:
    """Leave streams, by their numbers, as `>&-`, `| true` and `>/dev/full` leave them."""
    for number in broken:
        reader, writer = os.pipe()
        os.dup2(writer, number)
        os.close(reader)
        os.close(writer)
    for number in full:
        there = os.open("/dev/full", os.O_RDWR)
        os.dup2(there, number)
        os.close(there)
    for number in closed:
        os.close(number)
    return closed


def suffer(
    most_bytes: int | None = None,
    ends_at_byte: int | None = None,
    signalled: tuple[int, int] | None = None,
) -> None:
    """Let something happen to this process.

    `most_bytes`: what a file may have; `ends_at_byte`: likewise, and the end of who writes more.
    `signalled`: a signal, and before which change of the disk
    it comes, counted from 0.
    """
    most = most_bytes if ends_at_byte is None else ends_at_byte
    if most is not None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    if ends_at_byte is not None:
        signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    if signalled:
        left = [signalled[1]]
        for name in CHANGES:
            setattr(os, name, _counted(getattr(os, name), signalled[0], left))


CHANGES = ("mkdir", "open", "fsync", "chmod", "ftruncate", "replace", "unlink", "write")
"""What `os` can do to files: all that Python's own library does to them goes this way but `write`
of an open file, of which `most_bytes` ends the process in the middle."""


def _counted(call: Callable[..., Any], signal_: int, left: list[int]) -> Callable[..., Any]:
    def counted(*words: Any, **more: Any) -> Any:
        left[0] -= 1
        if left[0] == -1:
            os.kill(os.getpid(), signal_)
        return call(*words, **more)

    return counted


if __name__ == "__main__":
    serve(sys.argv[1])
