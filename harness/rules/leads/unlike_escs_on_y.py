"""Two unlike ESCs share one throttle signal.

What it looks for
    ESCs on one Y-lead whose rating, burst rating or number of cells differ in the plan.

Why it matters
    Unlike ESCs answer the same pulse differently: one motor starts before the other and turns
    faster all along, and the aeroplane swings.

An example that fails
    receivers:
      rx: {sockets: 6}
    leads:
      throttle-y: {kind: y, plug: rx.3, tested: yes}
    escs:
      esc-left: {rated: 40 A, bec: none, plug: throttle-y.1}
      esc-right: {rated: 60 A, bec: none, plug: throttle-y.2}

The same, mended
    escs:
      esc-left: {rated: 60 A, bec: none, plug: throttle-y.1}

Where it comes from
    Common practice; no published source: two ESCs on a Y are of the same type and settings and
    are calibrated together.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.units import CURRENT, format_quantity
from harness.facts.below import behind, devices_of
from harness.parts.esc import Esc
from harness.parts.lead import Lead
from harness.parts.part import of_kind
from harness.rules.rule import Desk, Findings, rule

FACTS = {"rated": "rated", "burst": "burst", "cells_max": "cells-max"}
"""What is compared, and its key in the plan."""


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each lead that splits a signal between unlike ESCs once."""
    for lead in desk.plan.of(Lead):
        if len(lead.outlets) < 2 or _nested(desk, lead):
            continue
        escs = of_kind(Esc, devices_of(behind(desk.wiring, lead.id)))
        for field, word in FACTS.items():
            known = [esc for esc in escs if getattr(esc, field) is not None]
            if len({getattr(esc, field) for esc in known}) > 1:
                yield _finding(lead, known, field, word)
                break
        else:
            _list_unknown(desk, escs)


def _nested(desk: Desk, lead: Lead) -> bool:
    """A Y behind a Y: the first one has all the ESCs."""
    above = desk.wiring.upstream(lead.id)
    parts = [mate.socket.part for mate in above if mate.socket]
    return any(part.carries_signal and len(part.outlets) > 1 for part in parts)


def _list_unknown(desk: Desk, escs: list[Esc]) -> None:
    silent = [esc for esc in escs if esc.rated is None]
    if len(escs) > 1 and len(silent) < len(escs):
        for esc in silent:
            desk.not_known(esc, "what the ESC is rated for (rated)")


def _finding(lead: Lead, escs: list[Esc], field: str, word: str) -> Finding:
    ordered = sorted(escs, key=lambda esc: esc.at(word))
    last = ordered[-1]
    says = spoken(f'"{esc.id}" {_told(getattr(esc, field))}' for esc in ordered)
    return check.finding(
        f"the ESCs on {lead.named()} are not alike ({word}: {says}): "
        "the same pulse turns their motors differently",
        last.at(word),
        last,
        lead,
        *ordered,
        help="use two of the same type with the same settings, calibrated together",
        numbers=tuple(
            (esc.named(), f"{_told(getattr(esc, field))}, plan line {esc.at(word).line}")
            for esc in ordered
        ),
    )


def _told(value: float | int) -> str:
    return f"{value} cells" if isinstance(value, int) else format_quantity(value, CURRENT)
