"""A wire carries more than its gauge bears.

What it looks for
    The current through each wire whose gauge the plan states. Builders' charts disagree: above
    the cautious figure it is a warning, above what any chart allows, or for seconds above that,
    an error. In a `bundle` and at a stated `altitude` a wire bears less for good. A power lead, or
    a sensor in line, that states its own rating is held to that. Where the 3-pin plug at
    the end of a lead is overloaded too, only the plug is reported: it gives way first.
    Whatever the ratings say, copper that gets warmer in a case that lasts than its insulation
    bears is an error: 200 degC for battery wire of silicone, 80 degC for servo leads. A case of
    seconds is not judged so: nobody says how many seconds, and a wire takes some to get warm.

Why it matters
    A wire that is too thin gets hot, softens its insulation and wastes volts.

An example that fails
    escs:
      esc: {rated: 60 A, supply: main, bec: none, connector: XT60, wire: 14 AWG}
    motors:
      motor: {full-throttle: 38 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}

The same, mended
    escs:
      esc: {rated: 60 A, supply: main, bec: none, connector: XT60, wire: 12 AWG}

Where it comes from
    Common practice, no published source; for thick wire a balance of the heat that is made and
    given off in air of 40 degC, where that says less: 100 degC by the cautious figure, and what
    the insulation bears by the charts. Battery wires are taken as silicone-insulated.
    Bundles and altitude: FAA AC 43.13-1B, chapter 11. The warmth is that of a long wire in still
    air, by the same balance of heat; what insulation bears is a row of the catalogue.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.electrics.flow import Flow
from harness.facts import currents as carried
from harness.facts import hot_wires as heat
from harness.facts.cures import changed, takes
from harness.facts.fitting import classes_for
from harness.facts.ground import loop_cure
from harness.facts.stronger import Thickened, gauge_wanted, loaded_wires, too_thin
from harness.facts.wording import parts_named
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, stated
from harness.parts.fuse import Fuse
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.sensor import Sensor
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Wiring, with_parts
from harness.wiring.ratings import split_unsaid


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each part once, at the wire that is worst off."""
    leads: list[PowerLead | Sensor] = [*desk.plan.of(PowerLead)]
    leads += [one for one in desk.plan.of(Sensor) if one.through]
    rated = {lead.id for lead in leads if lead.rated is not None}
    heavy = {part for part, _ in heat.told_at_plugs(desk.wiring)}
    plugs = dict[str, float]()
    for joint in carried.overloaded(desk.wiring):
        share = _share(joint.flow, carried.contact_bears(desk.wiring))
        plugs[joint.id[0]] = max(share, plugs.get(joint.id[0], 0.0))
    hot = dict(heat.hot_wires(desk.wiring))
    for name, (port, flow, bears) in _worst(desk).items():
        # Where its plug is told, or the leads side by side that mend plugs mend its wire as well.
        mended = name in heavy or _share(flow, bears) <= plugs.get(name, 0.0)
        told = port.form is Form.THREE_PIN and mended
        if not told and bears.exceeded(flow) and name not in rated:
            yield _finding(desk, port, flow, bears, hot.pop(port.id, None))
    for wire in hot.values():
        if wire.port.id not in heat.told_at_plugs(desk.wiring):
            yield _too_hot(desk, wire)
    parts: list[Fuse | PowerLead | Sensor] = [*desk.plan.of(Fuse), *leads]
    for part in parts:
        if part.wire is None and part.id not in rated and _most(desk, part).steady:
            desk.not_known(part, "the gauge of its wire (wire)")
    for lead in leads:
        limit, flow = stated(lead, "rated", lead.rated), _most(desk, lead)
        if limit is not None and carried.over(flow.steady, limit.number):
            yield _beyond_rating(desk, lead, flow, limit)


def _worst(desk: Desk) -> dict[str, tuple[Port, Flow, carried.Bears]]:
    """Return for each part the port whose wire has the least to spare."""
    found: dict[str, tuple[Port, Flow, carried.Bears]] = {}
    for port, flow, bears in loaded_wires(desk.wiring):
        if bears is None:
            text = port.wire.size.text if port.wire.size else ""
            desk.not_known(port.part, f"what a wire of {text} bears", "wire")
            continue
        old = found.get(port.part.id)
        if old is None or _share(flow, bears) > _share(old[1], old[2]):
            found[port.part.id] = (port, flow, bears)
    return found


def _share(flow: Flow, bears: carried.Bears) -> float:
    return max(flow.steady / bears.steady.number, flow.burst / bears.burst.number)


def _finding(
    desk: Desk, port: Port, flow: Flow, bears: carried.Bears, hot: heat.HotWire | None
) -> Finding:
    part, size = port.part, port.wire.size
    assert size is not None
    factor = carried.derated(desk.plan, part)
    thinner = ("of it in its bundle and at its altitude", f"{factor.number:.2f}, {factor.origin}")
    return check.finding(
        f"the {size.text} wire of {part.named()} carries {carried.passing(flow)}; it "
        f"bears {carried.amps(bears.steady.number)} continuously by the cautious figure, "
        f"{carried.amps(bears.steady_chart.number)} by the charts"
        f"{heat.heat_words(hot)}",
        part.at(carried.stated_wire(port)),
        part,
        severity=Severity.ERROR if hot or bears.beyond_charts(flow) else None,
        spot=port.name,
        help=_advice(desk, port, hot),
        numbers=(
            *bears.numbers(),
            *((thinner,) if factor.number < 1 else ()),
            *carried.case_numbers(desk.wiring, flow.steady_case, flow.burst_case),
        ),
    )


def _too_hot(desk: Desk, hot: heat.HotWire) -> Finding:
    part = hot.port.part
    return check.finding(
        f"the {hot.size.text} wire of {part.named()} {hot.words}",
        part.at(carried.stated_wire(hot.port)),
        part,
        severity=Severity.ERROR,
        spot=hot.port.name,
        help=_advice(desk, hot.port, hot),
        numbers=(
            ("its insulation bears", f"{hot.bears.number:g} degC, {hot.bears.origin}"),
            ("it is as warm as that with", carried.amps(heat.lasting(desk.wiring, hot, hot.size))),
            *carried.case_numbers(desk.wiring, hot.case),
        ),
    )


def _advice(desk: Desk, port: Port, hot: heat.HotWire | None) -> str:
    """Name the thinnest gauge that bears what then flows; what came fitted keeps its wire."""
    if hot is not None and hot.astray:
        cure = loop_cure(desk.wiring, port.id) or "open the loop by which it comes"
        return f"most of it is not this lead's own current: {cure}"
    if port.part.as_made:
        return "it came fitted: let less flow through it, or share it out over a second lead"

    def mended(after: Wiring) -> bool:
        return port.id not in too_thin(after)

    part = port.part
    if split_unsaid(desk.wiring, part) and mended(
        with_parts(desk.wiring, [changed(part, split="plug")])
    ):
        return (
            "if each of its ends has wires of its own from the plug on, write `split: plug`;"
            f" else {_thicker(desk, port, hot)}"
        )
    return _thicker(desk, port, hot)


def _thicker(desk: Desk, port: Port, hot: heat.HotWire | None) -> str:
    found = gauge_wanted(desk.wiring, port)
    if found is not None:
        thin = {name for name, _ in too_thin(desk.wiring)} - {port.part.id}
        parts = [part for part in found.parts if part.id not in thin]
        many = f" for {parts_named(parts)}" if len(parts) > 1 else ""
        return f"use {found.row} or thicker{many}{_plugs(desk, found, parts)}"
    leads = 2 if hot is None else max(2, heat.leads_for(desk.wiring, hot))
    if hot and (leads > desk.figure("side-by-side", "leads").number or hot.air >= hot.bears.number):
        return "let less flow through it, or lay it in cooler air"
    return f"share the current out over {'two' if leads == 2 else leads} leads"


def _plugs(desk: Desk, gauge: Thickened, parts: list[Part]) -> str:
    """Name the plugs that take a wire which the present ones do not."""
    tight = [p for p in gauge.ports if p.part in parts and not takes(desk.wiring, p, gauge.size)]
    if not tight:
        return ""
    ends = [p for port in tight for p in desk.wiring.by_part[port.part.id] if p.form is port.form]
    fit, _ = classes_for(desk.wiring, ends)
    what = spoken(fit[:2], "or") or "plugs that take it"
    return f", with {what} at its ends and what they go into"


def _most(desk: Desk, part: Part) -> Flow:
    ports = (port for port in desk.wiring.by_part[part.id] if part.hands_on(port.name))
    flows = [carried.currents(desk.wiring).port(*port.id) for port in ports]
    return max(flows, key=lambda flow: flow.steady)


def _beyond_rating(desk: Desk, lead: PowerLead | Sensor, flow: Flow, rated: Figure) -> Finding:
    """A lead that states its rating is held to it; one without is judged by its wire."""
    return check.finding(
        f"{lead.named()} is rated {carried.amps(rated.number)}, but carries"
        f" {carried.amps(flow.steady)}"
        f"{carried.when(flow.steady_case)}",
        lead.at("rated"),
        lead,
        severity=Severity.ERROR,
        help="use one of a higher rating"
        + (", or share the current out over two" if lead.is_lead else ""),
        numbers=(
            carried.number("rated", rated),
            *carried.case_numbers(desk.wiring, flow.steady_case),
        ),
    )
