"""BECs, regulators and diodes as devices of the network."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from harness.electrics.solver.circuit import Converter, Diode, Resistor
from harness.reader.parts.common import Bec
from harness.reader.parts.power import Diode as DiodePart
from harness.reader.parts.power import Esc, Regulator
from harness.reader.plan import Plan
from harness.wiring.figures import from_catalogue
from harness.wiring.model import Contact, Link

if TYPE_CHECKING:
    from harness.electrics.network import Network


AMPLE = 1e15
"""Stands for volts and efficiency without end where nobody said what feeds a supply."""


def supply_in(part: Esc | Regulator) -> Bec | Regulator | None:
    """Return the supply inside an ESC, or the regulator itself."""
    if isinstance(part, Regulator):
        return part
    return part.bec if isinstance(part.bec, Bec) else None


def add_converter(net: Network, part: Esc | Regulator) -> None:
    """Put a BEC or regulator into a network."""
    bec = supply_in(part)
    if bec is None:
        return
    plan, kind, cases = net.wiring.plan, bec.kind or "switching", len(net.cases)
    fed, out = (
        [net.at(part.id, inside, pin) for pin in ("positive", "negative")]
        for inside in ("battery", "body")
    )
    limit = bec.burst if net.limited and bec.burst is not None else np.inf
    drop_out, efficiency, quiescent = (
        _figure(plan, kind, key) for key in ("drop-out", "efficiency", "quiescent")
    )
    if not _is_fed(net, part):
        drop_out, efficiency, quiescent = -AMPLE, AMPLE, 0.0
    net.converters[part.id] = len(net.circuit.converters)
    net.circuit.converters.append(
        Converter(
            fed[0],
            fed[1],
            out[0],
            out[1],
            volts=set_volts(bec) * net.spread.supply(part.id, cases),
            ohms=_figure(plan, kind, "output-resistance"),
            drop_out=drop_out,
            limit=limit,
            efficiency=0.0 if kind == "linear" and drop_out > 0 else efficiency,
            quiescent=quiescent,
            name=part.id,
        )
    )


def _is_fed(net: Network, part: Esc | Regulator) -> bool:
    """Say whether the plan says what feeds a supply; else it is taken to be fed well enough."""
    low, high = (Contact(part.id, "battery", pin) for pin in ("negative", "positive"))
    return net.wiring.nets.volts(low, high) is not None


def set_volts(bec: Bec | Regulator) -> float:
    """Return what a supply gives at no load: as metered, else as stated."""
    return bec.volts if bec.metered is None else bec.metered


def _figure(plan: Plan, kind: str, key: str) -> float:
    figure = from_catalogue(plan, "regulators", kind, key)
    return figure.number if figure else 0.0


def add_diode(net: Network, number: int, link: Link) -> None:
    """Put a diode or isolator into a network: its junction, and its bulk resistance behind it."""
    part = net.wiring.plan.parts[link.owner]
    assert isinstance(part, DiodePart)
    saturation, slope, bulk = junction(net.wiring.plan, part.kind)
    middle = Contact(part.id, "junction", "positive")
    start, end = net.node[link.a], net.node[link.b]
    net.diodes[part.id] = len(net.circuit.diodes)
    net.circuit.diodes.append(Diode(start, middle, saturation, slope, part.id))
    net.resistor[number] = len(net.circuit.resistors)
    net.circuit.resistors.append(Resistor(middle, end, bulk, f"{part.id} bulk"))


def junction(plan: Plan, kind: str) -> tuple[float, float, float]:
    """Return saturation current (A), slope n k T / q (V) and bulk resistance (ohm) of a diode.

    Shockley's equation with a resistance behind it, laid through the two points of drop and
    current that the catalogue gives.
    """

    def value(key: str) -> float:
        figure = from_catalogue(plan, "diodes", kind, key)
        assert figure is not None
        return figure.number

    low, high = value("drop-low"), value("drop")
    small, large, slope = value("drop-low-current"), value("drop-current"), value("slope")
    bulk = (high - low - slope * math.log(large / small)) / (large - small)
    bulk = max(bulk, 1e-4)
    saturation = small / math.expm1((low - small * bulk) / slope)
    return saturation, slope, bulk
