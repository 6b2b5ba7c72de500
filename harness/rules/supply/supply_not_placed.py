"""The plan does not say what a part is fed from.

What it looks for
    ESCs, regulators, fuses and power leads without `supply`, in a plan that has a drive pack. In a
    plan without one it is listed as not known. A jumper plug needs no supply. Where others go dead
    because a lead or fuse hangs on nothing, the rule no-source tells it.

Why it matters
    The part is dead, or somebody joins it on the field to whatever fits. Nothing that hangs on it
    can be checked.

An example that fails
    escs:
      esc: {bec: none, rated: 40 A}
    packs:
      main: {chemistry: lipo, cells: 3}

The same, mended
    escs:
      esc: {bec: none, rated: 40 A, supply: main}

Where it comes from
    The thing itself: current comes from somewhere.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.fed import loose_leads
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.regulator import Regulator
from harness.parts.sensor import Sensor
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each part once."""
    drive = any(pack.plug is None for pack in desk.plan.of(Pack))
    leads = [lead for lead in desk.plan.of(PowerLead) if lead.kind != "jumper"]
    fed: list[Esc | Regulator | Fuse | PowerLead | Sensor]
    fed = [*desk.plan.of(Esc), *desk.plan.of(Regulator), *desk.plan.of(Fuse), *leads]
    for part in (*fed, *(one for one in desk.plan.of(Sensor) if one.battery_lead)):
        if not part.supply and not drive:
            desk.not_known(part, "what it is fed from (supply)")
        elif not part.supply and part.id not in loose_leads(desk.wiring):
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
