# PYTHON_ARGCOMPLETE_OK
"""The command line. Each command loads what it needs and nothing else."""

from __future__ import annotations

import atexit
import gc
import os
import sys
from importlib import import_module
from signal import SIG_DFL, SIGINT, SIGTERM, getsignal, signal
from types import FrameType

from harness.base.refusal import Refusal, printable
from harness.cli.exits import CLEAN, COULD_NOT, STOPPED
from harness.cli.parser import parser_of
from harness.cli.say import choose_colour, say

SELDOM = (500_000, 50, 100)
"""When garbage is looked for: a command is short, and leaves hardly anything in rings."""


def main() -> None:
    """Run the command line and turn every expected failure into one clear line."""
    gc.set_threshold(*SELDOM)
    atexit.register(gc.freeze)  # else Python looks through everything once more as it leaves
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # threads cost more than small matrices gain
    if sys.stdout is not None and hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")  # a terminal that knows no umlauts
    try:
        if getsignal(SIGTERM) is SIG_DFL:
            signal(SIGTERM, _stop)
        code = _run()
    except KeyboardInterrupt as stopped:
        _cannot("stopped, nothing is half written" if stopped.args else "interrupted")
        code = STOPPED + (stopped.args[0] if stopped.args else SIGINT)
    except (Refusal, OSError) as error:
        code = _cannot(str(error))
    except Exception as error:
        code = _explained(error)
    sys.exit(code or CLEAN)


def _run() -> int | None:
    """Read the words of the command line and run the command."""
    completing = "_ARGCOMPLETE" in os.environ
    parser = parser_of(None if completing else _first_word())
    if completing:
        import argcomplete

        argcomplete.autocomplete(parser)
    words = vars(parser.parse_args())
    del words["command"]
    choose_colour(words.pop("color"))
    from harness.cli.lean import Lean

    if Lean not in sys.meta_path:
        sys.meta_path.insert(0, Lean)
    module, name = words.pop("runs").split(":")
    code: int | None = getattr(import_module(f"harness.cli.{module}"), name)(**words)
    return code


def _first_word() -> str:
    """Return the first word given: all options of the program itself stand alone."""
    return next(iter(sys.argv[1:]), "")


def _stop(number: int, _: FrameType | None) -> None:
    """Leave as by an interrupt: children end, and what is unfinished is taken away."""
    raise KeyboardInterrupt(number)


def _cannot(message: str) -> int:
    say(printable(f"harness: {' '.join(message.split())}"), to_error=True)
    return COULD_NOT


def _explained(error: Exception) -> int:
    """Tell a plan that is not understood; anything else is a fault of the program."""
    from harness.reading.problems import PlanError

    if isinstance(error, PlanError):
        from harness.cli.frames import problem_lines
        from harness.cli.plans import by_label_codes

        say("\n".join(problem_lines(by_label_codes(error))), to_error=True)
        return COULD_NOT
    raise error


if __name__ == "__main__":
    main()
