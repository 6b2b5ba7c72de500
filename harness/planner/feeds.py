"""What can feed the rails: regulators, BECs and radio packs, and the sockets that they take."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from harness.base.data import dataclass, replace
from harness.parts.autopilot import Autopilot
from harness.parts.esc import Esc
from harness.parts.pack import Pack
from harness.parts.regulator import Regulator
from harness.plan.plan import Plan
from harness.planner.hosts import boxes
from harness.wiring.build import Wiring

REGULATOR, BEC, PACK, NOTHING = "regulator", "BEC", "pack", "nothing"
KINDS = (REGULATOR, BEC, PACK)
"""In the order of preference. Nothing feeds the rail only where all else would be dangerous."""


@dataclass(frozen=True)
class FeedChoice:
    """One way to feed the rail. `sockets`: the free supply sockets it takes.

    `channel`: it takes a channel socket instead; a BEC needs neither, it comes by its own lead.
    `logic`: the regulators that feed the own supply of autopilots besides, each with its socket.
    """

    part: str
    kind: str = BEC
    rated: float = 0.0
    sockets: tuple[str, ...] = ()
    channel: bool = False
    logic: tuple[tuple[str, str], ...] = ()

    @property
    def roles(self) -> frozenset[tuple[str, str]]:
        """Who feeds what: a finding about a part speaks against it in its role."""
        return frozenset({(self.part, "rail"), *self.logic})


def is_fed(plan: Plan, wiring: Wiring) -> bool:
    """Say whether something that is plugged in already feeds a rail of a receiver or autopilot."""
    tops = {box.id for box in boxes(plan)}
    logic = {(box.id, "power") for box in separate(plan)}
    for part in plan.parts.values():
        if not (part.drives and part.makes) and not (part.holds_cells or part.regulates):
            continue
        for mate in wiring.mates:
            if mate.plug.part is not part or mate.plug.name == "supply":
                continue
            chain = wiring.upstream(*mate.plug.id)
            red = all("positive" not in m.join.pulled for m in chain)
            last = chain[-1].socket
            if red and last is not None and last.part.id in tops and last.id not in logic:
                return True
    return False


def separate(plan: Plan) -> list[Autopilot]:
    """Return the autopilots whose own supply is not joined to their output rail."""
    return [box for box in plan.of(Autopilot) if box.rail == "separate"]


def feeds_of(plan: Plan, wiring: Wiring, escs: list[Esc]) -> tuple[FeedChoice, ...]:
    """Return the ways to feed the rail, the preferred first; none where it is fed already.

    A regulator before a BEC before a radio pack, then the greater rated current, then the name.
    Where an autopilot wants a supply of its own, only the ways that leave a regulator for it
    count, if there are any.
    """
    if is_fed(plan, wiring) or not boxes(plan):
        return ()
    found = sorted(_rail(plan, wiring, escs), key=lambda f: (KINDS.index(f.kind), -f.rated, f.part))
    dry = [
        f"{box.id}.power" for box in separate(plan) if not wiring.by_socket.get((box.id, "power"))
    ]
    whole = [fed for feed in found for fed in _with_logic(plan, wiring, feed, dry)]
    most = max((len(feed.logic) for feed in whole), default=0)
    full = tuple(feed for feed in whole if len(feed.logic) == most)
    return (*full, FeedChoice("", NOTHING)) if full else ()


def _rail(plan: Plan, wiring: Wiring, escs: list[Esc]) -> Iterator[FeedChoice]:
    """Yield what can feed the rail of the first box."""
    box = boxes(plan)[0]
    free = tuple(
        f"{box.id}.{port.name}"
        for port in sorted(wiring.by_part[box.id], key=lambda p: p.name)
        if port.name.startswith("batt") and not port.channel and not wiring.by_socket.get(port.id)
    )
    for regulator in _regulators(plan, wiring):
        yield FeedChoice(regulator.id, REGULATOR, regulator.rated or 0.0, free, not free)
    for esc in escs:
        if esc.makes:
            yield FeedChoice(esc.id, BEC, esc.makes.rated or 0.0)
    for pack in _radio_packs(plan, wiring):
        yield FeedChoice(pack.id, PACK, 0.0, free[:1], not free)


def _regulators(plan: Plan, wiring: Wiring) -> list[Regulator]:
    """Return the regulators that feed nothing yet, the greatest rated current first."""
    idle = (r for r in plan.of(Regulator) if not r.plug and not wiring.by_socket.get((r.id, "out")))
    return sorted(idle, key=lambda r: (-(r.rated or 0.0), r.id))


def _radio_packs(plan: Plan, wiring: Wiring) -> list[Pack]:
    """Return the packs that feed nothing, where everything on battery wires says its supply."""
    hungry: list[Esc | Regulator] = [*plan.of(Esc), *plan.of(Regulator)]
    if any(part.supply is None for part in hungry):
        return []
    used = {part for part, _ in wiring.by_socket}
    return [pack for pack in plan.of(Pack) if not pack.plug and pack.id not in used]


def _with_logic(
    plan: Plan, wiring: Wiring, feed: FeedChoice, dry: list[str]
) -> Iterator[FeedChoice]:
    """Yield a feed with each way to give the open regulators to the autopilots' own supplies."""
    left = [r.id for r in _regulators(plan, wiring) if r.id != feed.part]
    count = min(len(left), len(dry))
    for given in permutations(left, count):
        yield replace(feed, logic=tuple(zip(given, dry, strict=False)))
