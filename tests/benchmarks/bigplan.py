"""Large plans: the headline aeroplane many times over, and shapes that no aeroplane has.

    python tests/benchmarks/bigplan.py FOLDER [NAME ...]    # NAME.yaml for each, else for all

`SHAPES` has each with a size at which every command must end within its bound. Of the fleet each
copy has its own receiver, packs and bays, as a fleet in one shed has; all share the
channels. Nothing is plugged wrong, so the rules do their work and find no more than in one.
"""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import yaml

SHARED = (
    "plan",
    "aircraft",
    "about",
    "channels",
    "transmitter",
    "mixes",
    "surroundings",
    "cases",
    "flight",
    "reserve",
)
AIRFRAME = ("places", "ducts", "covers")
"""Groups whose entries are no parts."""
WORDS = ("moves", "function", "about", "kind", "class")
"""Keys whose values are words, though a part may be called the same."""


def clean_plan(path: Path, wanted: int) -> tuple[str, int]:
    """Return the text of a plan of about `wanted` parts, and how many it has."""
    one: dict[str, Any] = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    groups = {word: one[word] for word in one if isinstance(one[word], dict) and word not in SHARED}
    ids = {name for group in groups.values() for name in group}
    parts = sum(len(group) for word, group in groups.items() if word not in AIRFRAME)
    copies = max(1, math.ceil(wanted / parts - 0.5))
    whole: dict[str, Any] = {word: one[word] for word in SHARED if word in one}
    for number in range(copies):
        names = {name: f"craft{number}-{name}" if number else name for name in ids}
        for word, group in groups.items():
            whole.setdefault(word, {}).update(renamed(group, names))
    whole["kit"] = [kit for each in one.get("kit", []) for kit in bought(each, copies)]
    text = yaml.safe_dump(whole, sort_keys=False, default_flow_style=None, width=1000)
    # Every value was read as a text; the counts lose their quotes again.
    return re.sub(r"'(\d+)'", r"\1", text), parts * copies


def bought(line: dict[str, str], copies: int) -> Iterator[dict[str, str]]:
    """Yield the lines of a kit for so many copies; a line counts to 999 at most."""
    count = copies * int(line.get("count", 1))
    for first in range(0, count, 999):
        yield {**line, "count": str(min(999, count - first))}


def renamed(data: Any, names: dict[str, str]) -> Any:
    """Rename ids where they stand as a key of a group, as a value, or before a socket."""
    if isinstance(data, dict):
        return {
            names.get(word, word): value if word in WORDS else renamed(value, names)
            for word, value in data.items()
        }
    if isinstance(data, list):
        return [renamed(item, names) for item in data]
    name, dot, socket = str(data).partition(".")
    return names.get(name, name) + dot + socket


HEADLINE = Path(__file__).parents[2] / "examples" / "saltmarsh-19.yaml"
HEAD = """plan: 1
aircraft: Shape
transmitter: {order: AETR}
channels:
  {1: aileron, 2: elevator, 3: {function: throttle, failsafe: off}, 4: rudder, 5: gear, 6: flap}
receivers: {rx: {sockets: 16, supply-sockets: 1}}
"""
PACK = "chemistry: lipo, cells: 1, capacity: 2.2 Ah, rate: 25 C, connector: XT60"
SERVO = "class: 13g-metal-gear, moves: aileron"
LEAD = "length: 300 mm, wire: 22 AWG"
SUPPLY = f"""regulators:
  reg: {{kind: switching, volts: 6 V, rated: 20 A, plug: rx.batt, supply: main}}
packs: {{main: {{{PACK.replace("cells: 1", "cells: 3")}}}}}
"""
ESC = "rated: 40 A, bec: {kind: switching, volts: 5 V, rated: 3 A}"


def group(word: str, lines: Iterable[str]) -> str:
    """Return a group of a plan, one line an entry."""
    return "\n".join([f"{word}:", *(f"  {line}" for line in lines), ""])


def fleet(size: int) -> str:
    """Return the headline aeroplane many times over."""
    return clean_plan(HEADLINE, size)[0]


def fan(ends: list[str], wanted: int) -> tuple[list[str], list[str]]:
    """Return lines of leads with 12 sockets each that make so many ends of a few, and the ends."""
    leads: list[str] = []
    while len(ends) < wanted:
        end, ends = ends[0], ends[1:]
        name = f"fan-{len(leads)}"
        leads.append(f"{name}: {{kind: n-way, ways: 12, plug: {end}, {LEAD}}}")
        ends += [f"{name}.{n}" for n in range(1, 13)]
    return leads, ends[:wanted]


def deep_y(levels: int) -> str:
    """Return one socket with Y-leads on Y-leads, and a servo at every end."""
    leads, ends = [], ["rx.1"]
    for level in range(levels):
        names = [f"y{level}-{number}" for number in range(len(ends))]
        leads += [
            f"{y}: {{kind: y, plug: {end}, {LEAD}}}" for y, end in zip(names, ends, strict=True)
        ]
        ends = [f"{y}.{n}" for y in names for n in (1, 2)]
    servos = (f"servo-{n}: {{{SERVO}, plug: {end}}}" for n, end in enumerate(ends))
    return HEAD + SUPPLY + group("leads", leads) + group("servos", servos)


def packs(kind: str) -> Callable[[int], str]:
    """Return what writes so many packs side by side or end to end, on one ESC."""

    def plan(size: int) -> str:
        names = [f"pack-{n}" for n in range(size)]
        return (
            HEAD
            + group("packs", (f"{name}: {{{PACK}}}" for name in names))
            + group("power-leads", [f"all: {{kind: {kind}, supply: [{', '.join(names)}]}}"])
            + f"escs: {{esc: {{{ESC}, plug: rx.3, supply: all}}}}\n"
        )

    return plan


def stalled(servos: int) -> str:
    """Return one rail with so many servos, all held fast at 60 A by a case of the plan's own."""
    leads, ends = fan(["rx.1", "rx.2"], servos)
    lines = (f"servo-{n}: {{{SERVO}, stall: 60 A, plug: {end}}}" for n, end in enumerate(ends))
    case = "cases: {fast: {stalled: all, lasts: seconds}}\n"
    return HEAD + SUPPLY + group("leads", leads) + group("servos", lines) + case


def chain(leads: int) -> str:
    """Return so many extensions in a row, with a servo at the end."""
    ends = ["rx.1", *(f"ext-{n}.1" for n in range(leads))]
    lines = (f"ext-{n}: {{kind: extension, plug: {ends[n]}, {LEAD}}}" for n in range(leads))
    servo = group("servos", [f"servo: {{{SERVO}, plug: {ends[-1]}}}"])
    return HEAD + SUPPLY + group("leads", lines) + servo


def mesh(size: int) -> str:
    """Return a square of Y-leads whose ends are joined crosswise by leads with two plugs."""
    leads, ends = fan(["rx.1", "rx.2"], size * size + 12)
    ties = (
        f"tie-{n}: {{kind: two-plug, plug: {a}, second-plug: {b}, {LEAD}}}"
        for n, (a, b) in enumerate(zip(ends[::2], reversed(ends[1::2]), strict=False))
    )
    servo = group("servos", [f"servo: {{{SERVO}, plug: rx.4}}"])
    return HEAD + SUPPLY + group("leads", [*leads, *ties]) + servo


def buried(plugs: int) -> str:
    """Return forty places, each joined to the last and covered, with so many plugs in them."""
    places = ["p0: {}", *(f"p{n}: {{joins: p{n - 1}}}" for n in range(1, 40))]
    kinds = ("for-good", "screwed", "hatch")
    covers = (f"c{n}: {{over: p{n}, kind: {kinds[n % 3]}}}" for n in range(40))
    head = HEAD.replace("supply-sockets: 1", "supply-sockets: 1, place: p0")
    leads, ends = fan(["rx.1", "rx.2"], plugs)
    leads = [line.replace("kind:", f"place: p{n % 40}, kind:") for n, line in enumerate(leads)]
    lines = (
        f"servo-{n}: {{{SERVO}, place: p{n * 7 % 40}, plug: {{into: {end}, in: p{n * 11 % 40}}}}}"
        for n, end in enumerate(ends)
    )
    more = (group("places", places), group("covers", covers), group("servos", lines))
    return head + SUPPLY + group("leads", leads) + "".join(more)


def cases(size: int) -> str:
    """Return the headline plan with so many cases more."""
    text = HEADLINE.read_text("utf-8")
    first = "case-0: {stalled: all, lasts: seconds}"
    lines = [
        first,
        *(f"case-{n}: {{like: case-0, charge: {n % 90 + 5} %}}" for n in range(1, size)),
    ]
    return text.replace("\ncases:", "\n" + group("cases", lines).rstrip())


def mistyped(size: int) -> str:
    """Return so many servos that are plugged into what is nothing."""
    lines = (f"servo-{n}: {{{SERVO}, plug: lead-{n * 13}.1}}" for n in range(size))
    leads, _ = fan(["rx.1"], size)
    return HEAD + SUPPLY + group("leads", leads) + group("servos", lines)


def unknown_keys(size: int) -> str:
    """Return so many servos with a key and a value that are nothing."""
    lines = (
        f"servo-{n}: {{clas: 13g, moves: ailron, shaft: lft, plug: rx.{n}}}" for n in range(size)
    )
    return HEAD + SUPPLY + group("servos", lines)


def legs(size: int) -> str:
    """Return so many legs, each on an outlet of a sequencer."""
    outlets = [f"out-{n}" for n in range(size)]
    steps = [
        f"        - {{outlet: {o}, start: {n} s, end: {n + 5} s, to: WORD}}"
        for n, o in enumerate(outlets)
    ]
    box = [
        "box:",
        "  plug: rx.5",
        f"  outlets: [{', '.join(outlets)}]",
        "  steps:",
        "    down:",
        *(s.replace("WORD", "down")[2:] for s in steps),
        "    up:",
        *(s.replace("WORD", "up")[2:] for s in steps),
    ]
    leg = "kind: self-contained, class: medium"
    lines = (f"leg-{n}: {{{leg}, plug: box.out-{n}}}" for n in range(size))
    return HEAD + SUPPLY + group("sequencers", box) + group("retracts", lines)


def unplugged(size: int) -> str:
    """Return so many servos without a plug, and sockets and leads enough."""
    places = "places: {fuselage: {}, wing-left: {joins: fuselage, side: left}}\n"
    moves = ("aileron", "flap", "elevator", "rudder", "gear")
    lines = (
        f"servo-{n}: {{class: 9g-analogue, moves: {moves[n % 5]}, shaft: left, place: wing-left}}"
        for n in range(size)
    )
    head = HEAD.replace("sockets: 16, ", "sockets: 24, place: fuselage, ")
    kit = [f"- {{kind: y, count: {size}, {LEAD}}}", f"- {{kind: extension, count: {size}, {LEAD}}}"]
    return head + places + SUPPLY + group("kit", kit) + group("servos", lines)


def kit(size: int) -> str:
    """Return the headline plan with so many lines more in its kit."""
    text = HEADLINE.read_text("utf-8")
    lines = (
        f"  - {{kind: extension, length: {100 + 10 * n % 900} mm, wire: 22 AWG, from: box-{n}}}"
        for n in range(size)
    )
    return text.replace("\nkit:\n", "\nkit:\n" + "\n".join(lines) + "\n")


def loose(size: int) -> str:
    """Return so many packs, ESCs and motors of which nothing is joined."""
    return (
        HEAD
        + group("packs", (f"pack-{n}: {{{PACK}}}" for n in range(size)))
        + group("escs", (f"esc-{n}: {{{ESC}}}" for n in range(size)))
        + group("motors", (f"motor-{n}: {{full-throttle: 20 A}}" for n in range(size)))
    )


def long_flight(size: int) -> str:
    """Return the headline plan with a flight of so many phases."""
    text = HEADLINE.read_text("utf-8")
    rows = "".join(
        f"\n  - {{phase: phase-{n}, time: 2 s, throttle: {n % 100} %}}" for n in range(size)
    )
    head, _, tail = text.partition("\nflight:")
    rest = tail.split("\n\n", 1)[1] if "\n\n" in tail else ""
    return head + "\nflight:" + rows + "\n\n" + rest


SHAPES: dict[str, tuple[Callable[[int], str], int]] = {
    "fleet-3000": (fleet, 3000),
    "fleet-30000": (fleet, 30000),
    "deep-y": (deep_y, 9),
    "parallel": (packs("parallel"), 300),
    "series": (packs("series"), 200),
    "stalled": (stalled, 1000),
    "chain": (chain, 500),
    "mesh": (mesh, 16),
    "buried": (buried, 300),
    "cases": (cases, 1000),
    "mistyped": (mistyped, 5000),
    "unknown-keys": (unknown_keys, 5000),
    "legs": (legs, 64),
    "unplugged": (unplugged, 300),
    "kit": (kit, 900),
    "loose": (loose, 200),
    "long-flight": (long_flight, 900),
}


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for name in sys.argv[2:] or SHAPES:
        make, size = SHAPES[name]
        (folder / f"{name}.yaml").write_text(make(size), "utf-8")
