"""The plan does not say what a part is fed from.

What it looks for
    ESCs, regulators, fuses and power leads without `supply`, in a plan that has a drive pack. In a
    plan without one it is listed as not known. A jumper plug needs no supply. Where others go dead
    because of it, the rule no-source tells it, and where a part has no plug yet, plug-not-placed.

Why it matters
    The part is dead, or somebody joins it on the field to whatever fits. Nothing that hangs on it
    can be checked.

An example that fails
    escs:
      esc: {bec: none, rated: 40 A, plug: rx.3}
    receivers:
      rx: {sockets: 4}
    packs:
      main: {chemistry: lipo, cells: 3}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}

The same, mended
    escs:
      esc: {bec: none, rated: 40 A, plug: rx.3, supply: main}

Where it comes from
    The thing itself: current comes from somewhere.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.fed import unfed_heads
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.regulator import Regulator
from harness.parts.sensor import Sensor
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.live import has_drive_pack, is_placed


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each part once."""
    leads = [lead for lead in desk.plan.of(PowerLead) if lead.kind != "jumper"]
    fed: list[Esc | Regulator | Fuse | PowerLead | Sensor]
    fed = [*desk.plan.of(Esc), *desk.plan.of(Regulator), *desk.plan.of(Fuse), *leads]
    for part in (*fed, *(one for one in desk.plan.of(Sensor) if one.battery_lead)):
        if part.supply or (part.has_key("plug") and not is_placed(desk.wiring, part)):
            continue
        if not has_drive_pack(desk.plan):
            desk.not_known(part, "what it is fed from (supply)")
        elif part.id not in unfed_heads(desk.wiring):
            yield check.finding(
                f"the plan does not say what {part.named()} is fed from",
                part.span,
                part,
                spot="supply",
                help="add `supply:` with the pack or power lead"
                f"{', or take the part out of the plan' if _is_spare(desk, part) else ''}",
            )


def _is_spare(desk: Desk, part: Part) -> bool:
    """What others hang on is not told to go."""
    return part.makes is None and not any(name == part.id for name, _ in desk.wiring.by_socket)
