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
import signal
import sys
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
    """Put on the folder, the environment and the streams of a command."""
    signal.alarm(MOST)
    os.chdir(order["folder"])
    os.environ.clear()
    os.environ.update(order["environment"])
    for number, path in enumerate(order["streams"]):
        there = os.open(path, os.O_RDWR)
        os.dup2(there, number)
        os.close(there)
    sys.stdin, sys.stdout = open(0, encoding="utf-8"), open(1, "w", encoding="utf-8")  # noqa: SIM115
    sys.stderr = open(2, "w", encoding="utf-8", errors="backslashreplace", buffering=1)  # noqa: SIM115
    sys.argv = ["harness", *order["words"]]


if __name__ == "__main__":
    serve(sys.argv[1])
