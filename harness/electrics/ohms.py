"""What every link of a wiring resists: copper by gauge and length, contacts by their class.

Sources: ASTM B258 and IEC 60028 for copper (harness.base.wire); the catalogue for the rest.
"""

from __future__ import annotations

from collections.abc import Iterable

from harness.base.data import dataclass
from harness.base.units import WireSize
from harness.base.wire import resistance
from harness.parts.contacts import Form, Link, LinkKind, Port
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Mate, Wiring, facts_at
from harness.wiring.ratings import THREE_PIN, branches, connector_of, split_of

COPPER_ORIGIN = "ASTM B258, IEC 60028, 20 degC"


@dataclass(frozen=True, slots=True)
class Assumed:
    """A figure nobody stated: of which part, what it is, the key that would state it, if any."""

    part: str
    what: str
    key: str


@dataclass(frozen=True, slots=True)
class Ohms:
    """A link's resistance in ohm: `copper` at 20 degC, which warms, and `fixed`, which does not.

    `contact` says that the fixed part is a mated contact (it varies from plug to plug); `size` is
    the gauge of a wire.
    """

    copper: float
    fixed: float
    origin: str
    assumed: tuple[Assumed, ...] = ()
    contact: bool = False
    size: WireSize | None = None

    @property
    def total(self) -> float:
        """At 20 degC."""
        return self.copper + self.fixed


def ohms_of(wiring: Wiring, link: Link) -> Ohms | None:
    """Return what a link of copper resists; None for one without any length: one node."""
    if link.kind is LinkKind.MATE:
        return _mated(wiring, link)
    if link.kind is LinkKind.INSIDE:
        return _inside(wiring.plan, link)
    if link.kind is LinkKind.WIRE and not _just_a_node(wiring, link):
        return _wire(wiring, link)
    return None


def _mated(wiring: Wiring, link: Link) -> Ohms | None:
    plug, socket = (wiring.ports[c.part, c.port] for c in (link.a, link.b))
    if plug.form is Form.MOTOR:
        return None
    figure, assumed = _contact(wiring.plan, plug, socket)
    if any(fact.fact == "worn" for fact in facts_at(wiring.plan, plug, socket)):
        figure = figure * rule_figure(wiring.plan.catalogue, "worn-contact", "factor").number
    return Ohms(0.0, figure.number, figure.origin, assumed, contact=True)


def _contact(plan: Plan, plug: Port, socket: Port) -> tuple[Figure, tuple[Assumed, ...]]:
    """The worse of the two sides, where they differ."""
    names = sorted({connector_of(port) for port in (plug, socket)} - {""})
    if not names and plug.form is not Form.POWER:
        names = ["small-2pin" if plug.form is Form.TWO_WIRE else THREE_PIN]
    if figure := _worst_contact(plan, names):
        return figure, ()
    missing = Assumed(plug.part.id, "the class of its battery connector", "connector")
    return rule_figure(plan.catalogue, "assumed", "battery-contact"), (missing,)


def contact_ohms(plan: Plan, mate: Mate) -> Figure | None:
    """Return what a contact of a mated pair resists by its class; None where nobody said it."""
    ends = (mate.plug, mate.socket) if mate.socket else ()
    return _worst_contact(plan, sorted({connector_of(port) for port in ends} - {""}))


def _worst_contact(plan: Plan, names: Iterable[str]) -> Figure | None:
    found = (from_catalogue(plan.catalogue, "plugs", n, "contact-resistance") for n in names)
    return max(filter(None, found), key=lambda figure: figure.number, default=None)


def _inside(plan: Plan, link: Link) -> Ohms | None:
    part = plan.parts[link.owner]
    figure = part.resists(plan.catalogue, link)
    if figure is None:
        return None
    return Ohms(0.0, figure.number, figure.origin, contact=bool(part.circuits))


def _just_a_node(wiring: Wiring, link: Link) -> bool:
    """A lead with several ends on one side is as long as it says from each of them.

    Its wires meet at the other side, right in the plug; or the other way round, as the plan says.
    """
    part = wiring.plan.parts[link.owner]
    if not part.battery_lead:
        return False
    each = link.a.port in {port.name for port in branches(wiring, part)}
    return each if split_of(part) == "end" else not each


def _wire(wiring: Wiring, link: Link) -> Ohms:
    part, plan = wiring.plan.parts[link.owner], wiring.plan
    ports = (wiring.ports.get((end.part, end.port)) for end in (link.a, link.b))
    port = next(filter(None, ports), None)
    power = port is not None and port.form in {Form.POWER, Form.BALANCE}
    size, length, assumed = _run(plan, part, link, power)
    there = part.resists(plan.catalogue, link)
    fixed = there.number if there else 0.0
    return Ohms(resistance(size, length), fixed, COPPER_ORIGIN, assumed, size=size)


def _run(
    plan: Plan, part: Part, link: Link, power: bool
) -> tuple[WireSize, float, tuple[Assumed, ...]]:
    """Return gauge and length of a wire, and which of the two had to be assumed."""
    kind = "battery" if power else "lead"
    leads = not power and link.a.port in {"plug", "telemetry"}
    signal = "lead-" if leads and part.has_key("lead-wire") else ""
    assumed: list[Assumed] = []
    size, length = (link.wire.size, link.wire.length) if link.wire else (None, None)
    if size is None:
        area = rule_figure(plan.catalogue, "assumed", f"{kind}-wire")
        size = WireSize(area.number, "")
        assumed.append(Assumed(part.id, "the gauge of its wire", _key(part, f"{signal}wire")))
    if length is None:
        own = from_catalogue(plan.catalogue, "servos", part.class_, "lead-length")
        length = (own or rule_figure(plan.catalogue, "assumed", f"{kind}-length")).number
        if own is None:
            assumed.append(
                Assumed(part.id, "the length of its wire", _key(part, f"{signal}length"))
            )
    return size, length, tuple(assumed)


def _key(part: Part, word: str) -> str:
    """Return the key that would state a figure, "" where the part has none or says it of others."""
    free = part.has_key(word) and word not in part.spans
    return word if free else ""
