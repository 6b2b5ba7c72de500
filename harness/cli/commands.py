"""The commands by the job they are for: what each is, what it runs, which options it has.

Plain data, imported for every word of help: a function is named as "module:function" below
`harness.cli`, formats and titles come from the list of documents.
"""

from __future__ import annotations

import argparse
import re

from harness.documents.index import BY_NAME

TYPE_CHECKING = False  # typing itself takes long to import
if TYPE_CHECKING:
    from typing import Any

    Option = tuple[tuple[str, ...], dict[str, Any]]

DRAWS = 1000
"""Random draws of a tolerance run where no number is given."""


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


def option(*flags: str, **more: Any) -> Option:
    """Return an option, or a word that must be given, as argparse takes it."""
    return flags, more


STARTS = ("trainer", "glider", "twin", "fan-jet", "vtol")
"""The aeroplanes that a plan may begin with: one file each in `plan/starters/`."""
PLAN = option("plan", metavar="PLAN", help="a plan, or - for standard input")
PAGE = option("--page", choices=("A4", "Letter"), default="A4", help="paper (A4)")
OUT = option("--out", metavar="DIR", help="folder for documents; text is printed without it")


class Command:
    """A command: its name, what it is in one line and in more, what it runs, its options.

    `words`: what it hands to the function that it runs, beside what is read.
    """

    def __init__(
        self, name: str, about: str, run: str, *options: Option, more: str = "", **words: Any
    ) -> None:
        self.name, self.about, self.run, self.more = name, about, run, more
        self.options, self.words = options, words


def formats(document: str, flag: str = "--to", **more: Any) -> Option:
    """Return the option for the format of a document."""
    names = BY_NAME[document].formats
    return option(flag, choices=names, default=names[0], help=f"format ({names[0]})", **more)


def documented(
    document: str, about: str, *options: Option, run: str = "documents:printed", more: str = ""
) -> Command:
    """Return the command that makes a document of one plan, with the options all these have."""
    one = BY_NAME[document]
    usual = [PLAN, *options, formats(document), *([PAGE] if one.paged else []), OUT]
    return Command(one.command, about, run, *usual, more=more, document=document)


GROUPS = {
    "make a plan": (
        Command(
            "new",
            "print a commented plan to start from",
            "books:new",
            option(
                "--from",
                dest="start",
                choices=STARTS,
                metavar="WORD",
                help=f"begin with an aeroplane: {', '.join(STARTS)}",
            ),
        ),
        Command(
            "keys",
            "what may stand in a plan, or in one group of it",
            "books:keys",
            option("name", nargs="?", metavar="NAME", help="a key of a plan, such as servos"),
        ),
        Command(
            "assign",
            "propose sockets, leads, supply for open plugs; and failsafes",
            "planner:assign",
            PLAN,
            option("--write", action="store_true", help="change the plan's file"),
            option(
                "--others",
                action="store_true",
                help="the two next-best plans too; takes about twice as long",
            ),
            option(
                "--power",
                action="store_true",
                help="the battery side too: what feeds what, through which leads",
            ),
            formats("proposal"),
            more="Nothing is changed without --write. Exit code 0: a plan is found; 1: none "
            "exists, or a danger or error stays in it that no choice of plugs avoids; "
            "2: could not run.",
        ),
        Command(
            "tidy",
            "write a plan as short as it goes, or written out",
            "planner:tidy",
            PLAN,
            option(
                "--long",
                action="store_true",
                help="every part in its group, and each says all itself",
            ),
            option("--write", action="store_true", help="change the plan's file"),
            option(
                "--to",
                choices=("plan", "diff"),
                help="the new text, or what changes (plan; with --write: diff)",
            ),
            more="Parts go under their place; left and right, where one mirrors the other, are "
            "written once. It means the same, and every comment stays. Nothing is changed "
            "without --write.",
        ),
    ),
    "check it": (
        Command(
            "check",
            "what is wrong with a plan, or with all plans in a folder",
            "checking:check",
            option("plans", nargs="+", metavar="PLAN", help="a plan, a folder of plans, or -"),
            formats("plan", "--format", dest="style"),
            option("--strict", action="store_true", help="warnings count too"),
            option(
                "--why",
                action="store_true",
                help="each finding with its plan line, its figures and their origin",
            ),
            more="Exit code 0: no danger and no error; 1: some (with --strict: or a warning); "
            "2: could not run.",
        ),
        Command(
            "rules",
            "the rules by which it is judged, or one rule's page",
            "books:rules",
            option("name", nargs="?", metavar="NAME", help="a rule; without it all are listed"),
        ),
        Command(
            "trace",
            "one part's way to its signal and its supply, socket by socket",
            "documents:trace",
            PLAN,
            option("part", metavar="PART", help="a part, or one of its sockets: rx.8"),
        ),
        Command(
            "compare",
            "what changed between two plans, in a builder's words",
            "documents:compare",
            option("old", metavar="OLD", help="the plan as it was, or -"),
            option("new", metavar="NEW", help="the plan as it is now, or -"),
            formats("changes"),
            PAGE,
            OUT,
            more="Exit code 0: nothing changed but perhaps the text; 1: something changed; 2: "
            "a plan could not be read.",
            document="changes",
        ),
    ),
    "draw and list it": (
        documented(
            "diagrams",
            "the wiring as a picture, from packs to devices or seen from above",
            option(
                "--view",
                choices=("run", "airframe", "power", "control"),
                default="run",
                help="which picture (run)",
            ),
            option(
                "--place",
                metavar="P",
                default="",
                help="only what is in this place, and its neighbours",
            ),
            option("--function", metavar="F", default="", help="only what serves this function"),
            option(
                "--lead", metavar="L", default="", help="only this lead, traced from end to end"
            ),
            option(
                "--case", metavar="C", default="", help="with the currents of this case, or: worst"
            ),
            run="documents:draw",
        ),
        documented("leads", "every lead, one a row, with what it meets at both ends"),
        Command(
            "labels",
            "labels for both ends of every lead, to exact millimetres",
            "documents:labels",
            option("plan", nargs="?", metavar="PLAN", help="a plan, or - for standard input"),
            option(
                "--stock",
                metavar="NAME",
                help="a label stock; without it a usual A4 sheet; without a plan: which there are",
            ),
            option("--skip", type=count, default=0, metavar="N", help="labels used up already"),
            formats("labels"),
            option("--test-page", action="store_true", help="a page with rulers instead"),
            OUT,
        ),
        documented("lengths", "how long each lead must be along its way, how thick the bundles"),
        documented("kit", "what of the kit goes where, what to buy, what is left over"),
    ),
    "amperes and volts": (
        documented(
            "load",
            "amps, volts and heat everywhere, and the share of what each bears",
            option(
                "--case",
                metavar="NAME",
                default="",
                help="one operating case; else the worst of all",
            ),
            option(
                "--at", metavar="PART", default="", help="only this part and what its supply passes"
            ),
            option(
                "--tolerance",
                nargs="?",
                type=draws,
                const=DRAWS,
                metavar="N",
                help=f"how far figures spread: N random draws ({DRAWS}), or: corners",
            ),
            option("--seed", type=count, metavar="N", help="of the random draws (1)"),
        ),
        documented(
            "timeline",
            "one function step by step: what moves, what flows, lowest volts",
            option("--function", required=True, metavar="F", help="what moves: gear"),
            option("--run", metavar="NAME", default="", help="only this run, step by step"),
        ),
        documented("equalise", "what flows between packs just joined, and how it dies away"),
        documented("endurance", "how long a flight lasts, and what each pack has left"),
    ),
    "bench and field": (
        documented(
            "steps",
            "the order of work from bench to first flight, with boxes to tick",
            option("--field", action="store_true", help="only what is redone at the field"),
            run="documents:steps",
            more="Exit code 1: there is no order in which the plan can be built, and the "
            "document says why.",
        ),
        documented("transmitter", "what to set up on each channel of the radio"),
        documented(
            "protocol",
            "numbered tests, what to expect, room for what was measured",
            run="documents:protocol",
        ),
        Command(
            "record",
            "hold what was measured against what was expected, and keep it",
            "bench:record",
            PLAN,
            option("results", metavar="RESULTS", help="what was measured: a YAML file"),
            option(
                "--write",
                action="store_true",
                help="change the plan's file: currents by throttle as they were read",
            ),
            formats("results"),
            more="What was measured is kept beside the plan; the plan itself is not changed "
            "without --write. Exit code 0: all that was given has passed; 1: some has "
            "not; 2: something could not be read, and nothing is kept or written.",
        ),
    ),
    "all of it": (
        Command(
            "book",
            "the build book for phone and paper, and all files beside it",
            "documents:book",
            PLAN,
            PAGE,
            option(
                "--edition",
                choices=("bench", "full"),
                default="bench",
                help="what is printed: what bench and field need, or all (bench)",
            ),
            option(
                "--sheet",
                choices=("wall",),
                help="one page alone, the first to print: run view, channels, pulled pins,"
                " packs, and what must never be done",
            ),
            option("--out", metavar="DIR", help="folder for documents (out)"),
        ),
    ),
}
"""The jobs in the order in which they come up."""
