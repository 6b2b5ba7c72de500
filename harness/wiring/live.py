"""What is live: from the packs outward, which supplies give anything, and who gets volts of whom.

A BEC or regulator gives what its own input gets, less what it needs above its output, and nothing
where its input gets nothing. Current leaves a part by its minus and comes back by its plus: through
copper and packs both ways, through a supply and a diode one way only.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from harness.base.data import dataclass
from harness.parts.bec import supply_figure
from harness.parts.contacts import COPPER, POLE_PINS, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import Nets

TINY = 1e-6
"""V; less is rounding."""


def unsaid(wiring: Wiring, part: Part) -> bool:
    """Say whether the plan leaves open what feeds the battery side of a part.

    So it is, too, where a plug on the way fits nowhere: that is a fault of its own. In a plan with
    a pack for it, a part without `supply` hangs on nothing.
    """
    if (part.id, "supply") not in wiring.by_plug and has_drive_pack(wiring.plan):
        return False
    ways, seen = [(part.id, "supply")], set[str]()
    while ways:
        mate = wiring.by_plug.get(ways.pop())
        if mate is None or mate.socket is None or not (mate.fits and mate.first):
            return True
        above = mate.socket.part
        if above.battery_lead and above.id not in seen:
            seen.add(above.id)
            ways += [(above.id, name) for name, _ in above.joins() if above.hands_on(name)]
    return False


def has_drive_pack(plan: Plan) -> bool:
    """Say whether a plan has a pack that is not the radio's own."""
    return any(part.holds_cells and not part.feeds_radio for part in plan.parts.values())


def is_placed(wiring: Wiring, part: Part) -> bool:
    """Say whether the plan has any plug of a part, or one in it."""
    sockets = (port.id for port in wiring.by_part[part.id])
    return bool(part.joins()) or any(wiring.by_socket.get(socket) for socket in sockets)


class _Feet:
    """Nets that hang together at fixed volts: of each the foot, and the volts above that."""

    def __init__(self, nets: Nets) -> None:
        self.root, self._up = nets.root, dict[Contact, tuple[Contact, float]]()

    def at(self, contact: Contact) -> tuple[Contact, float]:
        """Return the foot of a contact and the volts above it."""
        net, volts = self.root.get(contact, contact), 0.0
        while net in self._up:
            net, more = self._up[net]
            volts += more
        return net, volts

    def join(self, low: Contact, high: Contact, volts: float = 0.0) -> None:
        """Put one contact some volts above another."""
        (foot, up), (other, above) = self.at(low), self.at(high)
        if foot != other:
            self._up[other] = (foot, up + volts - above)


@dataclass(frozen=True)
class _Maker:
    """A BEC or regulator, with its own output and what it needs above that at its input, V."""

    source: Link
    volts: float
    over: float
    known: bool


class Grid:
    """The sources, diodes and nets of a wiring, some links left out (`without`)."""

    def __init__(self, wiring: Wiring, without: Collection[Link] = ()) -> None:
        links = [k for k in wiring.links if k not in without] if without else wiring.links
        self.nets = Nets.of(links) if without else wiring.nets
        self.packs, self.makers = list[Link](), list[_Maker]()
        self.relays = [k for k in links if k.kind is LinkKind.RELAY]
        self.diodes = [k for k in links if k.kind is LinkKind.DIODE]
        for link in links:
            part = wiring.plan.parts[link.owner]
            if link.kind is LinkKind.SOURCE and part.makes is None:
                self.packs.append(link)
            elif link.kind is LinkKind.SOURCE:
                self.makers.append(_maker(wiring, link, part))

    def live(self, closed: Iterable[Link] = (), assumed: Collection[str] = ()) -> Live:
        """Return what is live with some more links, and some supplies taken to be fed."""
        return Live(self, list(closed), assumed)


def _maker(wiring: Wiring, link: Link, part: Part) -> _Maker:
    over = supply_figure(part, wiring.plan.catalogue, "drop-out")
    return _Maker(link, link.volts, over.number if over else 0.0, not unsaid(wiring, part))


class Live:
    """What is live in a grid: `giving` has the volts of each pack, BEC and regulator that gives."""

    def __init__(self, grid: Grid, closed: list[Link], assumed: Collection[str]) -> None:
        self._feet, self._heard = _Feet(grid.nets), _Feet(grid.nets)
        self._best: dict[Contact, dict[Contact, float]] = {}
        for link in closed:
            if link.kind in COPPER:
                self._feet.join(link.a, link.b)
                self._heard.join(link.a, link.b)
        for link in (*grid.relays, *closed):
            if link.kind is LinkKind.RELAY:
                self._heard.join(link.a, link.b)
        for link in grid.packs:
            self._feet.join(link.a, link.b, link.volts)
        diodes = [*grid.diodes, *(k for k in closed if k.kind is LinkKind.DIODE)]
        self._steps = [self._step(link.a, link.b, 0.0) for link in diodes]
        self.giving = {link.owner: link.volts for link in grid.packs}
        self._wake(grid.makers, assumed)

    def _step(self, low: Contact, high: Contact, volts: float) -> tuple[Contact, Contact, float]:
        (foot, up), (other, above) = self._feet.at(low), self._feet.at(high)
        return foot, other, up + volts - above

    def _wake(self, makers: list[_Maker], assumed: Collection[str]) -> None:
        """Let each supply give as soon as its input gets something, until none comes to life."""
        asleep, woken = makers, True
        while woken:
            woken, still = False, list[_Maker]()
            for maker in asleep:
                owner, volts = maker.source.owner, maker.volts
                minus, plus = (Contact(owner, "battery", pin) for pin in POLE_PINS[::-1])
                if maker.known and owner not in assumed and not self.shorted(minus, plus):
                    volts = min(volts, self.volts(minus, plus) - maker.over)
                if volts <= TINY:
                    still.append(maker)
                    continue
                self.giving[owner], woken = volts, True
                self._steps.append(self._step(maker.source.a, maker.source.b, volts))
                self._best.clear()
            asleep = still

    def shorted(self, minus: Contact, plus: Contact) -> bool:
        """Say whether copper joins two poles: a fault of its own, and no volts to speak of."""
        return self._feet.at(minus) == self._feet.at(plus)

    def volts(self, minus: Contact, plus: Contact) -> float:
        """Return the volts of a plus above a minus, by what gives; 0 where both are not reached."""
        (start, low), (foot, high) = self._feet.at(minus), self._feet.at(plus)
        if start not in self._best:
            self._best[start] = self._reached(start)
        return max(self._best[start].get(foot, low - high) + high - low, 0.0)

    def _reached(self, start: Contact) -> dict[Contact, float]:
        """Return the most volts of each foot that current from one gets to."""
        best = {start: 0.0}
        for _ in range(len(self._steps) + 1):
            before = dict(best)
            for low, high, volts in self._steps:
                if low in best and low != high and best[low] + volts > best.get(high, -1e9) + TINY:
                    best[high] = best[low] + volts
            if best == before:
                break
        return best

    def joined(self, one: Contact, others: Iterable[Contact]) -> bool:
        """Say whether copper, or a box that passes it on, joins a contact to one of others."""
        here = self._heard.at(one)[0]
        return any(self._heard.at(other)[0] == here for other in others)


@fact
def grid(wiring: Wiring) -> Grid:
    """Return the grid of a wiring."""
    return Grid(wiring)


@fact
def live(wiring: Wiring) -> Live:
    """Return what is live as the wiring stands."""
    return grid(wiring).live()
