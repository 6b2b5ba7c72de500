"""The words of the command line: its commands and their options.

argparse, not a larger library: `harness --help` must come at once, and a larger library alone
costs more than four bare starts of Python.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable
from typing import Any, NoReturn

from harness import __version__
from harness.cli.exits import COULD_NOT

VIEWS = ("run", "airframe", "power", "control")
PAGES = ("A4", "Letter")
FIGURES = ("table", "json", "csv", "html", "svg", "pdf")
DRAWS = 1000
"""Random draws of a tolerance run where no number is given."""
ABOUT = """\
Plan the wiring of an electric model aeroplane: check it, draw it, list and label its leads.

PLAN is a YAML file; - reads standard input. `harness new` prints one to start from.
`harness COMMAND --help` says more about a command.
"""
COMPLETION = """\
shell completion, in bash or zsh:
  eval "$(register-python-argcomplete harness)"
"""
_CHOICE = re.compile(r"invalid choice: '(?P<word>.*)' \(choose from (?P<names>.*)\)")


class Parser(argparse.ArgumentParser):
    """A parser that takes no shortened options and offers the nearest right word."""

    def __init__(self, **more: Any) -> None:
        more.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        super().__init__(allow_abbrev=False, **more)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the words given, in one line, and leave with 2."""
        from harness.base.near import hint
        from harness.cli.say import say

        found = _CHOICE.search(message)
        if found:
            names = [name.strip(" '\"") for name in found["names"].split(",")]
            message = message.replace(found[0], f'"{found["word"]}" is none of {", ".join(names)}')
            message += f"; {hint(found['word'], names, most=0)}".rstrip("; ")
        say(f"{self.prog}: {' '.join(message.split())}", to_error=True)
        say(f"{self.prog} --help shows what there is", to_error=True)
        sys.exit(COULD_NOT)


def count(text: str) -> int:
    """Read a whole number of up to six digits that is not negative."""
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise argparse.ArgumentTypeError(f'"{text}" is not a whole number from 0 to 999999')
    return int(text)


def draws(text: str) -> int | str:
    """Read how many draws a tolerance run makes: a number of 1 or more, or "corners"."""
    if text == "corners":
        return text
    if not re.fullmatch(r"[1-9][0-9]{0,5}", text):
        raise argparse.ArgumentTypeError(
            f'"{text}" is no number of draws: write 1 to 999999, or corners; PLAN comes before it'
        )
    return int(text)


def parser_of(commands: dict[str, Callable[..., int | None]], named: str | None = None) -> Parser:
    """Return the parser of the whole program; each command's function is its default `run`.

    With `named`, the first word given, only that command gets its options.
    """
    parser = Parser(prog="harness", description=ABOUT, epilog=COMPLETION)
    parser.add_argument("--version", action="version", version=f"harness {__version__}")
    every = Parser(add_help=False)
    every.add_argument(
        "--color",
        choices=("auto", "always", "never"),
        default="auto",
        help="colour the text; NO_COLOR is honoured",
    )
    group = parser.add_subparsers(
        title="commands", dest="command", metavar="COMMAND", required=True, parser_class=Parser
    )
    for name, function in commands.items():
        about = "\n".join(line.strip() for line in (function.__doc__ or "").strip().splitlines())
        first = about.split("\n", 1)[0].rstrip(".")
        if named is not None and name != named:  # its own words would cost time for nothing
            group.add_parser(name, help=first, add_help=False)
            continue
        one = group.add_parser(name, help=first, description=about, parents=[every])
        one.set_defaults(run=function)
        _OPTIONS[name](one)
    return parser


def _check(one: Parser) -> None:
    one.add_argument("plans", nargs="+", metavar="PLAN", help="a plan, a folder of plans, or -")
    one.add_argument("--format", dest="style", choices=("text", "json", "sarif"), default="text")
    one.add_argument("--strict", action="store_true", help="warnings count too")


def _plan(one: Parser) -> None:
    one.add_argument("plan", metavar="PLAN", help="a plan, or - for standard input")


def _documents(one: Parser) -> None:
    one.add_argument("--out", metavar="DIR", help="folder for documents (out)")


def _page(one: Parser) -> None:
    one.add_argument("--page", choices=PAGES, default="A4", help="paper (A4)")


def _draw(one: Parser) -> None:
    _plan(one)
    one.add_argument("--view", choices=VIEWS, default="run", help="which picture (run)")
    one.add_argument("--place", metavar="P", help="only what is in this place, and its neighbours")
    one.add_argument("--function", metavar="F", help="only what serves this function")
    one.add_argument("--lead", metavar="L", help="only this lead, traced from end to end")
    one.add_argument("--case", metavar="C", help="with the currents of this case, or: worst")
    one.add_argument("--to", choices=("svg", "pdf", "png"), default="svg", help="format (svg)")
    _page(one)
    _documents(one)


def _leads(one: Parser) -> None:
    _plan(one)
    one.add_argument(
        "--to", choices=("table", "csv", "markdown", "html"), default="table", help="format (table)"
    )
    _documents(one)


def _labels(one: Parser) -> None:
    one.add_argument("plan", nargs="?", metavar="PLAN", help="a plan, or - for standard input")
    one.add_argument("--stock", metavar="NAME", help="a label stock; without it they are listed")
    one.add_argument("--skip", type=count, default=0, metavar="N", help="labels used up already")
    one.add_argument("--to", choices=("pdf",), default="pdf", help="format (pdf)")
    one.add_argument("--test-page", action="store_true", help="a page with rulers instead")
    _documents(one)


def _trace(one: Parser) -> None:
    _plan(one)
    one.add_argument("part", metavar="PART", help="a part, or one of its sockets: rx.8")


def _figures(one: Parser, *more: str) -> None:
    """Figures: text on standard output; pictures, and all with --out, into a folder."""
    one.add_argument("--to", choices=(*FIGURES, *more), default="table", help="format (table)")
    _page(one)
    one.add_argument("--out", metavar="DIR", help="folder; else text goes to standard output")


def _load(one: Parser) -> None:
    _plan(one)
    one.add_argument("--case", metavar="NAME", help="one operating case; else the worst of all")
    one.add_argument("--at", metavar="PART", help="only this part and what its supply passes")
    one.add_argument(
        "--tolerance", nargs="?", type=draws, const=DRAWS, metavar="N",
        help=f"how far figures spread: N random draws ({DRAWS}), or: corners",
    )  # fmt: skip
    one.add_argument("--seed", type=count, metavar="N", help="of the random draws (1)")
    _figures(one, "spice")


def _timeline(one: Parser) -> None:
    _plan(one)
    one.add_argument("--function", required=True, metavar="F", help="what moves: gear")
    one.add_argument("--run", metavar="NAME", dest="chosen", help="only this run, step by step")
    _figures(one)


def _one_plan(one: Parser) -> None:
    _plan(one)
    _figures(one)


def _lengths(one: Parser) -> None:
    _plan(one)
    one.add_argument("--to", choices=FIGURES[:4], default="table", help="format (table)")
    one.add_argument("--out", metavar="DIR", help="folder; else text goes to standard output")


def _book(one: Parser) -> None:
    _plan(one)
    _page(one)
    _documents(one)


def _rules(one: Parser) -> None:
    one.add_argument("name", nargs="?", metavar="NAME", help="a rule; without it all are listed")


def _keys(one: Parser) -> None:
    one.add_argument("name", nargs="?", metavar="NAME", help="a key of a plan, such as servos")


def _new(_: Parser) -> None:
    """No options."""


def _assign(one: Parser) -> None:
    _plan(one)
    one.add_argument("--write", action="store_true", help="change the plan's file")
    one.add_argument(
        "--to", choices=("text", "plan", "diff", "json"), default="text",
        help="all of it, only the plan, only the difference, or JSON (text)",
    )  # fmt: skip


def _paper(one: Parser, *more: str) -> None:
    """Text on standard output; all with --out, and a PDF always, into a folder."""
    one.add_argument(
        "--to", choices=("text", "html", "pdf", *more), default="text", help="format (text)"
    )
    _page(one)
    one.add_argument("--out", metavar="DIR", help="folder; else text goes to standard output")


def _kit(one: Parser) -> None:
    _plan(one)
    _paper(one, "csv", "json")


def _steps(one: Parser) -> None:
    _plan(one)
    one.add_argument("--field", action="store_true", help="only what is redone at the field")
    _paper(one, "json")


def _sheet(one: Parser) -> None:
    _plan(one)
    _paper(one, "csv", "json")


def _protocol(one: Parser) -> None:
    _plan(one)
    _paper(one, "csv", "json", "yaml")


def _record(one: Parser) -> None:
    _plan(one)
    one.add_argument("results", metavar="RESULTS", help="what was measured: a YAML file")
    one.add_argument("--to", choices=("text", "json"), default="text", help="format (text)")


def _compare(one: Parser) -> None:
    one.add_argument("old", metavar="OLD", help="the plan as it was")
    one.add_argument("new", metavar="NEW", help="the plan as it is now")
    one.add_argument(
        "--to", choices=("text", "json", "svg", "pdf", "png"), default="text", help="format (text)"
    )
    _page(one)
    one.add_argument("--out", metavar="DIR", help="folder; else text goes to standard output")


_OPTIONS: dict[str, Callable[[Parser], None]] = {
    "check": _check,
    "draw": _draw,
    "leads": _leads,
    "labels": _labels,
    "trace": _trace,
    "load": _load,
    "timeline": _timeline,
    "equalise": _one_plan,
    "endurance": _one_plan,
    "assign": _assign,
    "lengths": _lengths,
    "kit": _kit,
    "steps": _steps,
    "transmitter": _sheet,
    "protocol": _protocol,
    "record": _record,
    "compare": _compare,
    "book": _book,
    "rules": _rules,
    "keys": _keys,
    "new": _new,
}
