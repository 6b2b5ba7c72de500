"""What must be mended before any current of a wiring means anything: one answer for everybody.

A turned plug, crossed poles, a short circuit, packs on different levels, packs or sources joined
that must not be, motor current that goes astray. While one stands the wiring is not the one that
was meant: what would flow in it as it is, or as it might be mended, helps nobody. So nobody shows
its currents, volts or times, and nobody is told to connect a pack. Other open places are taken to
be closed, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.base.span import Span
from harness.facts.fed import as_if_closed, faults, parted
from harness.facts.poles import Crossing, beyond, lead_faults, pole_faults
from harness.facts.shorts import Short, shorts
from harness.facts.wording import harmless, open_words
from harness.parts.figure import rule_figure
from harness.parts.join import PINS
from harness.parts.wing_plug import WingPlug
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact

ASTRAY = "stray-return"


@dataclass(frozen=True, slots=True)
class MendFirst:
    """One fault: the rule that reports it, and where."""

    rule: str
    span: Span

    @property
    def words(self) -> str:
        """Name it: turned-plug on plan line 12."""
        return f"{self.rule} on plan line {self.span.line}"


@fact
def mend_first(wiring: Wiring) -> tuple[MendFirst, ...]:
    """Return every such fault of a wiring, in the order of the plan; accepting it mends nothing."""
    every = (_in_leads, _at_poles, _of_shorts, _of_tables, _of_sources, _astray)
    found = dict.fromkeys(fault for some in every for fault in some(wiring))
    return tuple(sorted(found, key=lambda fault: (fault.span, fault.rule)))


def first_words(wiring: Wiring) -> str:
    """Say what goes first, and what nobody is shown until then; "" where nothing stands."""
    if not (found := mend_first(wiring)):
        return ""
    them = "it stands" if len(found) == 1 else "they stand"
    return (
        f"mend {spoken(fault.words for fault in found)} first: while {them} no currents, volts or"
        " times mean anything, and no pack is connected"
    )


def as_if_words(wiring: Wiring) -> str:
    """Say which open places every figure takes to be whole; "" where there is none."""
    places = open_words(wiring, as_if_closed(wiring))
    why = spoken(f"{text} (plan line {span.line})" for span, text in places)
    it = "it" if len(places) == 1 else "them"
    return f"reckoned as if whole, though {why}: mend {it} first" if places else ""


def warning_words(wiring: Wiring) -> str:
    """Say what a document that shows figures begins with; "" for nothing."""
    return first_words(wiring) or as_if_words(wiring)


def refuse_before(wiring: Wiring) -> None:
    """Raise Refusal where something must be mended before there is anything to reckon."""
    if words := first_words(wiring):
        raise Refusal(words)


def burns(wiring: Wiring, fault: Crossing) -> bool:
    """Say whether a crossing of control leads sends supply where it burns something."""
    if fault.swaps("positive", "signal"):
        return True
    return fault.swaps("positive", "negative") and not harmless(beyond(wiring, fault))


def reported_by(fault: Crossing) -> str:
    """Return the rule that reports a fault of control leads: the plug's, or the lead's."""
    mate = fault.mate
    at_plug = mate is not None and (mate.turned or not mate.crossed)
    return "turned-plug" if at_plug else "pins-swapped"


def faults_on(wiring: Wiring, chain: Iterable[Mate]) -> list[str]:
    """Name the faults of control leads on a way of plugs from a device up."""
    ways = [(mate, mate.socket) for mate in chain]
    return [
        MendFirst(reported_by(fault), fault.span).words
        for fault in lead_faults(wiring)
        if any(
            fault.mate is mate
            or (
                fault.mate is None
                and socket is not None
                and socket.part is fault.owner
                and fault.outlet in {"", socket.name}
            )
            for mate, socket in ways
        )
    ]


def _in_leads(wiring: Wiring) -> Iterator[MendFirst]:
    return (MendFirst(reported_by(fault), fault.span) for fault in lead_faults(wiring))


def _at_poles(wiring: Wiring) -> Iterator[MendFirst]:
    for fault in pole_faults(wiring):
        yield MendFirst(fault.kind, fault.crossing.span)


def _of_shorts(wiring: Wiring) -> Iterator[MendFirst]:
    apart = rule_figure(wiring.plan.catalogue, "parallel", "short").number
    for short in shorts(wiring):
        if not short.opposed or short.volts > apart:
            yield MendFirst(short.kind, _at(wiring, short))


def _at(wiring: Wiring, short: Short) -> Span:
    """The plug to pull; of packs side by side the weaker one."""
    if not short.opposed and short.pull is not None:
        return short.pull.span
    weak = min(short.packs, key=lambda pack: (pack.cells, pack.volts or 0.0, pack.id))
    return wiring.plan.own_line(weak.at("cells"), weak.id)


def _of_tables(wiring: Wiring) -> Iterator[MendFirst]:
    """One contact of a wing plug for two things at once."""
    for part in wiring.plan.of(WingPlug):
        for number, uses in contact_uses(part).items():
            if number <= part.contacts and joined_in_table(uses):
                at = max(span for _, _, span in uses)
                yield MendFirst("wing-plug-table", wiring.plan.own_line(at, part.id))


Use = tuple[str, str, Span]
"""A circuit, its pin, and where the plan gives the contact."""


def contact_uses(part: WingPlug) -> dict[int, list[Use]]:
    """Return, for each contact, what the table of a wing plug uses it for."""
    found: dict[int, list[Use]] = {}
    for name, circuit in part.circuits.items():
        for pin in PINS:
            number = getattr(circuit, pin)
            if number is not None:
                found.setdefault(number, []).append((name, pin, circuit.spans[pin]))
    return found


def joined_in_table(uses: list[Use]) -> bool:
    """Say whether one contact joins what must stay apart: unlike pins, or two signals."""
    pins = {pin for _, pin, _ in uses}
    return len(pins) > 1 or ("signal" in pins and len(uses) > 1)


def _astray(wiring: Wiring) -> Iterator[MendFirst]:
    every = (*faults(wiring), *(fault for _, fault in parted(wiring)))
    first = (fault.opens[0] for fault in every if fault.burns)
    return (MendFirst(ASTRAY, wiring.plan.own_line(at.span, at.part)) for at in first)


def _of_sources(wiring: Wiring) -> Iterator[MendFirst]:
    from harness.facts.rails import fights  # it asks for currents, and currents ask us

    for fight in fights(wiring):
        if fight.drives:
            yield MendFirst("several-sources", fight.span)
