"""Reads the words of the command line, and says what there is.

argparse, not a larger library: `harness --help` must come at once, and a larger library alone
costs more than four bare starts of Python.
"""

from __future__ import annotations

import argparse
import re
import sys

from harness import PLAN_FORMAT, __version__
from harness.base.refusal import printable
from harness.cli.commands import GROUPS, Command
from harness.cli.exits import COULD_NOT
from harness.cli.say import say

TYPE_CHECKING = False  # typing itself takes long to import
if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import Any, NoReturn

WIDTH = 80
COLUMN = 13
BEGIN = """\
usage: harness COMMAND ...

For the wiring of electric model aeroplanes: write down what there is and where
each plug goes. Harness checks it, draws it, lists and labels the leads, reckons
amperes and volts, and makes what the bench and the field need.

begin with:
  harness new > plan.yaml    a plan with remarks, to change into yours
  harness check plan.yaml    what is wrong with it, and what to do
  harness book plan.yaml     all about it in one book, for phone and paper
"""
VERSION = f"harness {__version__}, plan format {PLAN_FORMAT}"
END = """
PLAN is a YAML file, or - for standard input. `harness COMMAND --help` says more
about a command, `harness --version` which version this is. Shell completion, in
bash or zsh: eval "$(register-python-argcomplete harness)"
"""
_CHOICE = re.compile(r"invalid choice: '(?P<word>.*)' \(choose from (?P<names>.*)\)")


class Parser(argparse.ArgumentParser):
    """A parser that takes no shortened options and offers the nearest right word."""

    def __init__(self, **more: Any) -> None:
        more.setdefault("formatter_class", _formatter)
        super().__init__(allow_abbrev=False, **more)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the words given, in one line, and leave with 2."""
        from harness.base.near import hint

        found = _CHOICE.search(message)
        if found:
            names = [name.strip(" '\"") for name in found["names"].split(",")]
            message = message.replace(found[0], f'"{found["word"]}" is none of {", ".join(names)}')
            message += f"; {hint(found['word'], names, most=0)}".rstrip("; ")
        say(printable(f"{self.prog}: {' '.join(message.split())}"), to_error=True)
        say(f"{self.prog} --help shows what there is", to_error=True)
        sys.exit(COULD_NOT)

    def _print_message(self, message: str, file: object = None) -> None:
        """Print help and version as all else is printed: also to a stream that is gone."""
        say(message, end="")


def _formatter(prog: str) -> argparse.HelpFormatter:
    """Set help in 80 columns: to ask for the terminal's width takes time at each start."""
    return argparse.HelpFormatter(prog, width=WIDTH)


class Program(Parser):
    """The whole program: its help is what there is to do, not what options there are."""

    def format_help(self) -> str:
        """Return the commands by the job they are for."""
        return "".join([BEGIN, *overview(), END])


def overview() -> Iterator[str]:
    """Yield the commands by the job they are for, as lines."""
    for job, commands in GROUPS.items():
        yield f"\n{job}:\n"
        for command in commands:
            yield f"  {command.name:<{COLUMN}}{command.about}\n"


def parser_of(named: str | None = None) -> Parser:
    """Return the parser of the whole program.

    With `named`, the first word given, only that command gets its options: those of the others
    would cost time for nothing.
    """
    program = Program(prog="harness")
    program.add_argument("--version", action="version", version=VERSION)
    chosen = program.add_subparsers(
        dest="command", metavar="COMMAND", required=True, parser_class=Parser
    )
    for command in (one for commands in GROUPS.values() for one in commands):
        if named is None or command.name == named:
            about = f"{command.about[0].upper()}{command.about[1:]}."
            _fill(
                command,
                chosen.add_parser(
                    command.name, help=command.about, description=about, epilog=command.more
                ),
            )
        else:
            chosen.add_parser(command.name, help=command.about, add_help=False)
    return program


def _fill(command: Command, one: Parser) -> None:
    """Give a command its options."""
    one.add_argument(
        "--color",
        choices=("auto", "always", "never"),
        default="auto",
        help="colour the text; NO_COLOR is honoured",
    )
    for flags, more in command.options:
        one.add_argument(*flags, **more)
    one.set_defaults(runs=command.run, **command.words)
