"""BECs, regulators and diodes as devices of the network."""

from __future__ import annotations

import math

import numpy as np

from harness.electrics.solver.circuit import Amount, Converter, Junction, Node, Resistor
from harness.parts.bec import Bec
from harness.parts.contacts import Contact
from harness.parts.diode import Diode
from harness.parts.figure import from_catalogue
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.plan.plan import Plan

AMPLE = 1e15
"""Stands for volts and efficiency without end where nobody said what feeds a supply."""


def converter_of(
    plan: Plan,
    part: Part,
    ends: tuple[Node, Node, Node, Node],
    *,
    fed: bool,
    limited: bool,
    factor: Amount,
) -> Converter | None:
    """Return a BEC or regulator between the nodes in plus, in minus, out plus, out minus.

    `fed`: whether the plan says what feeds it, else it is taken to be fed well enough; `limited`:
    whether it is held to what it gives for seconds; `factor` multiplies its set volts.
    """
    bec = part.makes
    if bec is None:
        return None
    kind = bec.kind or "switching"
    drop_out, efficiency, quiescent = (
        _figure(plan, kind, key) for key in ("drop-out", "efficiency", "quiescent")
    )
    if not fed:
        drop_out, efficiency, quiescent = -AMPLE, AMPLE, 0.0
    return Converter(
        *ends,
        volts=set_volts(bec) * factor,
        ohms=_figure(plan, kind, "output-resistance"),
        drop_out=drop_out,
        limit=bec.burst if limited and bec.burst is not None else np.inf,
        efficiency=0.0 if kind == "linear" and fed else efficiency,
        quiescent=quiescent,
        name=part.id,
    )


def set_volts(bec: Bec | Regulator) -> float:
    """Return what a supply gives at no load: as metered, else as stated."""
    return bec.volts if bec.metered is None else bec.metered


def _figure(plan: Plan, kind: str, key: str) -> float:
    figure = from_catalogue(plan.catalogue, "regulators", kind, key)
    return figure.number if figure else 0.0


def diode_of(plan: Plan, part: Diode, start: Node, end: Node) -> tuple[Junction, Resistor]:
    """Return a diode or isolator: its junction, and its bulk resistance behind it."""
    saturation, slope, bulk = junction(plan, part.kind)
    middle = Contact(part.id, "junction", "positive")
    return (
        Junction(start, middle, saturation, slope, part.id),
        Resistor(middle, end, bulk, f"{part.id} bulk"),
    )


def junction(plan: Plan, kind: str) -> tuple[float, float, float]:
    """Return saturation current (A), slope n k T / q (V) and bulk resistance (ohm) of a diode.

    Shockley's equation with a resistance behind it, laid through the two points of drop and
    current that the catalogue gives.
    """

    def value(key: str) -> float:
        figure = from_catalogue(plan.catalogue, "diodes", kind, key)
        assert figure is not None
        return figure.number

    low, high = value("drop-low"), value("drop")
    small, large, slope = value("drop-low-current"), value("drop-current"), value("slope")
    bulk = (high - low - slope * math.log(large / small)) / (large - small)
    bulk = max(bulk, 1e-4)
    saturation = small / math.expm1((low - small * bulk) / slope)
    return saturation, slope, bulk
