"""Whether a piece of the kit does for a part of the plan, how well, and who gets what.

As much as can be given, at the least cost; of several ways the first by order: a transport problem
between classes of alike things, solved by successive shortest paths (the textbook method of Ford
and Fulkerson, with Bellman's distances; from memory) in whole numbers of any size: nothing is
rounded, and the answer is the only one of its kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from harness.airframe.stock import thinner
from harness.base.data import dataclass
from harness.base.units import LENGTH, WireSize, format_quantity
from harness.parts.capacitor import Capacitor
from harness.parts.lead import LEAD_WORDS, Lead
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.plan.kit import KitPiece
from harness.wiring.ratings import THREE_PIN as SERVO_PLUG
from harness.wiring.ratings import split_told

THREE_PIN = ("extension", "y", "n-way", "reverser", "custom", "two-plug")
BATTERY = ("parallel", "series", "power-extension", "adapter", "balance-adapter", "jumper",
           "arming")  # fmt: skip
LEADS = (*THREE_PIN, *BATTERY)
"""Leads: compared with every kit."""
MATERIAL = ("connector", "wire")
"""What leads are made of: nobody expects it to be used up."""
DEVICES = ("receiver", "satellite", "autopilot", "stabiliser", "servo", "retract", "sequencer",
           "esc", "motor", "pack", "regulator", "fuse", "switch", "diode", "capacitor", "sensor",
           "in-line-sensor", "wing-plug")  # fmt: skip
CALLED = {**LEAD_WORDS, "parallel": "parallel power lead", "series": "series power lead",
          "adapter": "power adapter", "jumper": "jumper plug", "arming": "arming plug",
          "satellite": "satellite receiver", "retract": "retract leg", "esc": "ESC",
          "sensor": "telemetry sensor", "in-line-sensor": "sensor in line",
          "connector": "loose connector", "wire": "length of wire"}  # fmt: skip
MANY = {"switch": "switches", "in-line-sensor": "sensors in line", "wire": "lengths of wire"}


def _words(kind: str) -> tuple[str, str]:
    one = CALLED.get(kind, kind.replace("-", " "))
    return one, MANY.get(kind, f"{one}s")


WORDS = {kind: _words(kind) for kind in (*LEADS, *DEVICES, *MATERIAL)}
"""One, and many, of each kind."""


def counted_kind(kind: str, many: int) -> str:
    """Return "1 Y-lead" or "3 Y-leads"."""
    return f"{many} {WORDS[kind][many != 1]}"


def plain_kind(kind: str, ways: int | None) -> str:
    """Return the kind of a lead by what it is: an n-way lead of two sockets is a Y-lead."""
    return "y" if kind == "n-way" and ways == 2 else kind


_WAYS = ("n-way", "parallel")


@dataclass(frozen=True, slots=True)
class KitNeed:
    """What the plan asks of `count` alike pieces for one part. Length in mm; "" and None: any."""

    part: Part
    kind: str
    count: int = 1
    ways: int | None = None
    class_: str = ""
    connector: str = ""
    length: float | None = None
    wire: WireSize | None = None
    split: str = ""
    lie: str = ""

    @property
    def alike(self) -> tuple[object, ...]:
        """What two needs have in common when the same pieces do for both."""
        area = self.wire.area_mm2 if self.wire else None
        return (
            self.kind,
            self.ways,
            self.class_,
            self.connector,
            self.length,
            area,
            self.split,
            self.lie,
        )


def need_of(part: Part) -> KitNeed | None:
    """Return what a part asks of the kit; None for a part that no kit lists."""
    kind = part.kit_kind()
    if not kind:
        return None
    if isinstance(part, Lead):
        ways = len(part.outlets) if kind in ("n-way", "custom") else None
        return KitNeed(
            part, kind, 1, ways, "", SERVO_PLUG, part.length, part.wire, part.split, part.wires
        )
    if isinstance(part, PowerLead):
        ways = part.ways if kind in _WAYS else None
        return KitNeed(part, kind, 1, ways, "", part.connector, part.length, part.wire, part.split)
    count = part.count if isinstance(part, Capacitor) else 1
    return KitNeed(part, kind, count, None, part.kit_class(), part.connector)


def mm(length: float) -> str:
    """Write a length: 300 mm."""
    return format_quantity(length, LENGTH)


def misfits(need: KitNeed, piece: KitPiece) -> Iterator[str]:
    """Yield why a piece cannot be that part, whatever its length to spare."""
    kind = plain_kind(piece.kind, piece.ways)
    if kind != need.kind:
        yield "it is of another kind"
        return
    if need.ways and piece.ways and need.ways != piece.ways:
        yield f"it has {piece.ways} sockets, the plan wants {need.ways}"
    if need.class_ and piece.class_ and need.class_ != piece.class_:
        yield f"it is of class {piece.class_}, the plan wants {need.class_}"
    if need.connector and piece.connector and need.connector != piece.connector:
        yield f"its connector is {piece.connector}, the plan wants {need.connector}"
    if need.lie and piece.wires and need.lie != piece.wires:
        yield f"its wires are {piece.wires}, the plan wants them {need.lie}"
    if need.split and piece.split and need.split != piece.split:
        yield f"it is split at its {piece.split}, the plan wants it {split_told(need.part)}"
    if kind in LEADS:
        yield from _too_little(need, piece)


def _too_little(need: KitNeed, piece: KitPiece) -> Iterator[str]:
    if need.length is not None and piece.length is not None and piece.length < need.length:
        yield f"it is {mm(piece.length)} long, the plan wants {mm(need.length)}"
    if need.wire and piece.wire and thinner(piece.wire.area_mm2, need.wire.area_mm2):
        yield f"its wire is {piece.wire.text}, the plan wants {need.wire.text}"


def too_long(need: KitNeed, piece: KitPiece, stock: Sequence[float]) -> str:
    """Say that a piece is longer than the stock length after the stated one, or return ""."""
    if need.kind not in LEADS or need.length is None or piece.length is None:
        return ""
    limit = next((length for length in stock if length > need.length), None)
    if limit is None or piece.length <= limit:
        return ""
    return f"it is {mm(piece.length)} long, much longer than the {mm(need.length)} of the plan"


def not_stated(need: KitNeed, piece: KitPiece) -> tuple[str, ...]:
    """Return what the plan asks for and the kit does not tell of a piece."""
    asked: list[tuple[str, object, object]] = [("class", need.class_, piece.class_)]
    if need.kind not in THREE_PIN:
        asked.append(("connector", need.connector, piece.connector))
    if need.kind in _WAYS:
        asked.append(("number of sockets", need.ways, piece.ways))
    if need.kind in LEADS:
        asked.append(("place where it splits", need.split, piece.split))
        asked += [("length", need.length, piece.length), ("wire", need.wire, piece.wire)]
    return tuple(word for word, wanted, told in asked if wanted and told in (None, ""))


def surplus(need: KitNeed, piece: KitPiece) -> float:
    """Return by how many mm a lead is longer than the plan says; 0 where either says nothing."""
    if need.kind not in LEADS or need.length is None or piece.length is None:
        return 0.0
    return max(piece.length - need.length, 0.0)


def copper(need: KitNeed, piece: KitPiece) -> float:
    """Return by how many mm2 the wire is thicker than the plan asks; 0 where either is silent."""
    if need.kind not in (*THREE_PIN, *BATTERY) or need.wire is None or piece.wire is None:
        return 0.0
    return max(piece.wire.area_mm2 - need.wire.area_mm2, 0.0)


Pair = tuple[int, int]
"""(number of the need, number of the piece)."""


def shares(
    wanted: Sequence[int], there: Sequence[int], costs: Mapping[Pair, int]
) -> dict[Pair, int]:
    """Return how many of each piece each need gets: the most in all, at the least summed cost.

    `costs` has an entry for each pair that fits. Among answers as good, the first need gets as
    many of the first piece as any of them gives it, then of the second, and so on.
    """
    weighed = _with_order(sum(wanted), costs)
    given: dict[Pair, int] = {}
    needs, pieces = list(wanted), list(there)
    while path := _cheapest(needs, pieces, weighed, given):
        back = [given[pair] for pair in path[1::2]]
        many = min([needs[path[0][0]], pieces[path[-1][1]], *back])
        for step, pair in enumerate(path):
            given[pair] = given.get(pair, 0) + (many if step % 2 == 0 else -many)
        needs[path[0][0]] -= many
        pieces[path[-1][1]] -= many
    return {pair: many for pair, many in sorted(given.items()) if many}


def _with_order(most: int, costs: Mapping[Pair, int]) -> dict[Pair, int]:
    """Add to each cost what decides between answers of equal cost: the earlier, the cheaper."""
    base, count = most + 1, len(costs)
    return {
        pair: costs[pair] * base ** (count + 1) - base ** (count - 1 - number)
        for number, pair in enumerate(sorted(costs))
    }


def _cheapest(
    needs: Sequence[int],
    pieces: Sequence[int],
    costs: Mapping[Pair, int],
    given: Mapping[Pair, int],
) -> list[Pair]:
    """Return the cheapest way to serve one need more: pairs to add and to undo in turn, or []."""
    reached: dict[int, tuple[int, list[Pair]]] = {n: (0, []) for n, m in enumerate(needs) if m}
    ends: dict[int, tuple[int, list[Pair]]] = {}
    changed = bool(reached)
    while changed:
        changed = False
        for (need, piece), cost in costs.items():
            if need in reached:
                sofar, path = reached[need]
                if piece not in ends or sofar + cost < ends[piece][0]:
                    ends[piece] = (sofar + cost, [*path, (need, piece)])
                    changed = True
            if piece in ends and given.get((need, piece)):
                sofar, path = ends[piece]
                if need not in reached or sofar - cost < reached[need][0]:
                    reached[need] = (sofar - cost, [*path, (need, piece)])
                    changed = True
    free = [(cost, path) for piece, (cost, path) in ends.items() if pieces[piece]]
    return min(free)[1] if free else []
