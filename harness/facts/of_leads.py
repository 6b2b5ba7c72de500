"""What the lead list, the labels and the traces read of a wiring; made once and kept with it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from harness.base.colours import WORDS
from harness.base.data import dataclass
from harness.base.near import spoken
from harness.electrics.flow import Flow
from harness.facts.currents import told_currents
from harness.parts.contacts import POLE_PINS, Form, Port
from harness.parts.join import PINS
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.codes import codes_of, natural
from harness.wiring.fact import fact
from harness.wiring.leads import LeadKey, PhysicalLead, leads_of

if TYPE_CHECKING:
    from harness.electrics.flows import Flows

OUT = " OUT"
"""How the words for a plug with a pulled pin end."""


@dataclass
class Facts:
    """The leads of a wiring by code, and its currents."""

    wiring: Wiring

    @cached_property
    def codes(self) -> dict[LeadKey, str]:
        """The label code of every lead."""
        return codes_of(self.wiring)

    @cached_property
    def leads(self) -> tuple[PhysicalLead, ...]:
        """Every lead, in the order of the codes."""
        return tuple(sorted(leads_of(self.wiring), key=lambda lead: natural(self.codes[lead.key])))

    @cached_property
    def by_port(self) -> dict[PortId, PhysicalLead]:
        """The lead that a plug or socket sits on."""
        return {port.id: lead for lead in self.leads for port in lead.ports}

    @cached_property
    def flows(self) -> Flows:
        """The solved currents that documents tell."""
        return told_currents(self.wiring)

    def code_at(self, port: Port) -> str:
        """Return the code of the lead a port sits on, or "" for a socket of a box."""
        lead = self.by_port.get(port.id)
        return self.codes[lead.key] if lead else ""

    def load(self, lead: PhysicalLead) -> Flow:
        """Return the current through a lead, at the port of its trunk that carries most."""
        flows = [self.flows.port(*port.id) for port in lead.trunk]
        return max(flows, key=lambda flow: flow.burst, default=Flow())


@fact
def facts_of(wiring: Wiring) -> Facts:
    """Return the facts about the leads of a wiring."""
    return Facts(wiring)


def wired_pins(port: Port) -> tuple[str, ...]:
    """Return the pins of a port that have a wire, in the order of the housing."""
    part = port.part
    if (part.holds_cells or part.regulates) and port.form is Form.THREE_PIN:
        return tuple(pin for pin in port.order if pin in POLE_PINS)
    if part.circuits:
        circuit = part.circuits[port.name.removeprefix("plug-")]
        return tuple(pin for pin in port.order if getattr(circuit, pin) is not None)
    return port.order


def insulation(port: Port) -> tuple[tuple[str, ...], bool]:
    """Return the wires' IEC 60757 codes in pin order, and whether the plan states them.

    Empty where nobody can say: motor wires, the two wires of a bare-motor leg.
    """
    part, pins = port.part, wired_pins(port)
    if part.carries_signal and (own := part.ends.get(port.name)):
        return own, True
    stated = bool(getattr(part, "colours", "")) and port.form is Form.THREE_PIN
    colours: Mapping[str, str] = port.colours or {}
    if not colours and port.form is Form.POWER:
        colours = {"positive": "RD", "negative": "BK"}
    return tuple(colours[pin] for pin in pins if pin in colours), stated


def pale_wire(port: Port) -> str:
    """Return the IEC 60757 code of a 3-pin plug's signal wire, "" for any other plug."""
    colours, _ = insulation(port)
    pins = wired_pins(port)
    if port.form is not Form.THREE_PIN or len(colours) != len(PINS):
        return ""
    return colours[pins.index("signal")]


def pulled_words(mate: Mate) -> str:
    """Return which wires' pins are out of a plug on purpose, as it is told: RED OUT; "" for none.

    The colours are those of the plug's own wires, common practice where nobody can say.
    """
    pins = [pin for pin in wired_pins(mate.plug) if pin in mate.join.pulled]
    if not pins:
        return ""
    codes = dict(zip(wired_pins(mate.plug), insulation(mate.plug)[0], strict=False))
    usual = {"signal": "signal", "positive": "red", "negative": "black"}
    words = [WORDS[codes[pin]] if codes.get(pin) in WORDS else usual[pin] for pin in pins]
    return f"{spoken(words).upper()}{OUT}"
