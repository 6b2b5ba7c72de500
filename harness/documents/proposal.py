"""A proposal of the planner, to read and as data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from harness.base.finding import Severity
from harness.base.near import counted, spoken
from harness.documents.cautions import MAKERS, armed
from harness.electrics.packs import cautious_limit
from harness.facts.battery import BATTERY, full_volts, runs_of
from harness.facts.currents import amps, currents, wire_bears
from harness.facts.wording import joined, quoted, volts
from harness.parts.pack import Pack
from harness.parts.part import of_kind
from harness.planner.battery_leads import PowerSource
from harness.planner.failsafes import SETTLE
from harness.planner.power import NoPower, PowerPlan
from harness.planner.proposal import (
    Decision,
    NoPlan,
    PassedOver,
    PlanLimit,
    Proposal,
    Wanted,
    Wished,
)

WIDE = 92
RUNNERS_UP = 2
CHANNEL = ("channel", "function", "named", "failsafe", "why", "line")


def proposal_text(proposal: Proposal) -> str:
    """Return the answer as a builder reads it: the plan, its reasons, what else there is."""
    parts = [
        _part(_opening(proposal), ()),
        _part("What goes where, and why", _choices(proposal.choices)),
        _part(_wish_head(proposal), (_wish(wish) for wish in proposal.wishes)),
        _part("Leads from what is there", (_wanted(w) for w in proposal.used)),
        _part("Leads to buy", (_wanted(w) for w in proposal.bought)),
        _part("Leads at hand that do not do", map(_passed, proposal.passed)),
        _part("The next-best plans", _runners(proposal)),
        _part(
            "Failsafe, to be set at binding: what each channel goes to without signal",
            _failsafes(proposal),
        ),
        _part("What the rules still say against it", _faults(proposal)),
        _part("Worth knowing", proposal.notes),
    ]
    return "\n".join(part for part in parts if part)


def _opening(proposal: Proposal) -> str:
    if not proposal.choices:
        more = sum(bool(setup.why) for setup in proposal.channels)
        told = f" {counted(more, 'failsafe')} proposed: see below." if more else ""
        return f"Nothing is left to plug in.{told}"
    bought = sum(wanted.count for wanted in proposal.bought)
    buy = "nothing to buy" if not bought else f"{counted(bought, 'lead')} to buy"
    joints = dict(proposal.costs).get("joints", 0)
    proof = "No better plan exists." if proposal.proven else f"Not proven: {proposal.gap}."
    left = f"all open plugs but {quoted(dict.fromkeys(proposal.open))}"
    what = left if proposal.open else "every open plug"
    return f"A plan for {what}: {buy}, {counted(joints, 'joint')}. {proof}{_left(proposal)}"


def _left(proposal: Proposal) -> str:
    """Say at once when the rules still refuse the plan: no plug mends that."""
    dangers = sum(fault.severity is Severity.DANGER for fault in proposal.faults)
    errors = len(proposal.faults) - dangers
    told = [counted(n, word) for n, word in ((dangers, "danger"), (errors, "error")) if n]
    if not told:
        return ""
    verb = "remains" if len(proposal.faults) == 1 else "remain"
    return f" But {' and '.join(told)} {verb} that no choice of plugs avoids: see below."


def _part(head: str, lines: Iterable[str]) -> str:
    """Return a heading with its points; nothing where a heading has none, but an opening stands."""
    points = [_wrapped(line) for line in lines]
    if not points:
        return f"{textwrap.fill(head, WIDE)}\n" if head.endswith(".") else ""
    return "\n".join([head, *points]) + "\n"


def _wrapped(line: str) -> str:
    lead = "    " if line.startswith("    ") else "  "
    return textwrap.fill(
        line.strip(),
        WIDE,
        initial_indent=f"{lead}- " if lead == "  " else lead,
        subsequent_indent="    ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def _choices(choices: Iterable[Decision]) -> Iterator[str]:
    for choice in choices:
        yield choice.what
        yield f"    why: {choice.why}"
        yield f"    cost: {choice.cost}"


def _wish_head(proposal: Proposal) -> str:
    if proposal.defaults:
        return "Wishes (the plan states none; these are ours, the weightiest first)"
    return "Wishes, the weightiest first"


def _wish(wish: Wished) -> str:
    line = f" (plan line {wish.line})" if wish.line else ""
    told = "granted" if wish.granted else "not granted"
    return f"{wish.name}{line}: {told}" + (f"; {wish.why}" if wish.why else "")


def _wanted(wanted: Wanted) -> str:
    where = "" if wanted.where == "to buy" else f" ({wanted.where})"
    length = "" if wanted.length is not None or wanted.kind == "reverser" else ", length by measure"
    return f"{wanted.count} x {wanted.words}{length}{where}"


def _passed(one: PassedOver) -> str:
    many = f"{one.count} x " if one.count > 1 else ""
    what = f"{many}{one.lead} ({one.where}), for {quoted(one.items)}"
    return f"{what}: {one.why}; instead: {one.instead}"


def _runners(proposal: Proposal) -> Iterator[str]:
    if not proposal.choices or proposal.runners_up is None:
        return
    for runner in proposal.runners_up:
        yield "; ".join(runner.differs)
        yield f"    against the proposal: {', '.join(runner.costs)}"
    if len(proposal.runners_up) < RUNNERS_UP and proposal.proven:
        yield "no other plan differs in more than its leads"


def _failsafes(proposal: Proposal) -> Iterator[str]:
    """Yield what is proposed, channels of one setting and reason together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for one in (setup for setup in proposal.channels if setup.why):
        new = f", {one.named}" if one.named not in {"", "proposed"} else ""
        why = f"{one.why}; {SETTLE}" if one.settle else one.why
        alike.setdefault((one.failsafe, why), []).append(f"{one.channel} ({one.function}{new})")
    for (failsafe, why), channels in alike.items():
        yield f"channel{'s' * (len(channels) > 1)} {spoken(channels)}: {failsafe}"
        yield f"    why: {why}"


def _faults(proposal: Proposal) -> Iterator[str]:
    for finding in proposal.faults:
        yield f"{finding.severity.word}: {finding.message} [{finding.rule}]"
        if finding.help:
            yield f"    do: {finding.help}"


def proposal_data(proposal: Proposal) -> dict[str, Any]:
    """Return the answer as plain data, for JSON."""
    return {
        "proven": proposal.proven,
        "gap": proposal.gap,
        "costs": dict(proposal.costs),
        "choices": [{"what": c.what, "why": c.why, "cost": c.cost} for c in proposal.choices],
        "wishes": [
            {"wish": w.name, "granted": w.granted, "why": w.why, "line": w.line or None}
            for w in proposal.wishes
        ],
        "wishes_are_defaults": proposal.defaults,
        "used": [_wanted_data(w) for w in proposal.used],
        "bought": [_wanted_data(w) for w in proposal.bought],
        "passed_over": [
            {
                "lead": p.lead,
                "count": p.count,
                "from": p.where,
                "for": list(p.items),
                "wanted_mm": p.wants,
                "why": p.why,
                "instead": p.instead,
            }
            for p in proposal.passed
        ],
        "next_best": [
            {"differs": list(r.differs), "costs": list(r.costs), "levels": dict(r.levels)}
            for r in proposal.runners_up or ()
        ],
        "channels": [
            {key: getattr(setup, key) or None for key in CHANNEL} | {"settle": setup.settle}
            for setup in proposal.channels
        ],
        "faults": [
            {"rule": f.rule, "severity": f.severity.word, "message": f.message, "help": f.help}
            for f in proposal.faults
        ],
        "notes": list(proposal.notes),
    }


def _wanted_data(wanted: Wanted) -> dict[str, Any]:
    return {
        "kind": wanted.kind,
        "count": wanted.count,
        "wire": wanted.gauge,
        "length_mm": wanted.length,
        "from": wanted.where,
    }


def clash_text(answer: NoPlan) -> str:
    """Return why there is no plan."""
    if not answer.ways:
        return _part("There is no plan, whatever is given up", answer.stuck or ("nothing fits",))
    size, one = len(answer.ways[0]), len(answer.ways) == 1
    if size == 1:
        head = (
            "This alone stands in the way"
            if one
            else ("With any one of these given up, all else kept, there is one")
        )
    else:
        head = f"No single limit is to blame; {size} must go together"
        head += "" if one else ", and each of these is enough"
    lines = (f"{'; and '.join(map(_limit, way))}" for way in answer.ways)
    return _part(f"There is no plan. {head}", [*lines, *answer.stuck])


def _limit(limit: PlanLimit) -> str:
    line = f" (plan line {limit.line})" if limit.line else ""
    return f"{limit.words}{line}" + (f": {limit.enough}" if limit.enough else "")


def clash_data(answer: NoPlan) -> dict[str, Any]:
    """Return the clash as plain data, for JSON."""
    return {
        "plan": None,
        "ways_out": [
            [
                {
                    "limit": limit.name,
                    "words": limit.words,
                    "line": limit.line or None,
                    "enough": limit.enough,
                }
                for limit in way
            ]
            for way in answer.ways
        ],
        "without_a_place": list(answer.stuck),
    }


METERED = "to be metered before the first connection"


def power_text(power: PowerPlan) -> str:
    """Return the battery side that is proposed, as a builder reads it."""
    if not power.joined:
        return "The battery side: nothing is left without a supply.\n"
    parts, bought = power.report.plan.parts, power.bought
    opening = (
        f"The battery side, connected by nobody yet: {counted(len(power.joined), 'join')} to make,"
        f" {counted(len(bought), 'part')} to buy or make."
    )
    feeds = (line for source, fed in power.side.feeds for line in _feeds(power, source, fed))
    new = (
        f"{parts[name].named()}: {'to buy or make' if name in bought else 'from the kit'}"
        for name in power.new
    )
    about = {*power.joined, *(part for source, _ in power.side.feeds for part in source.parts)}
    warned = (
        f"{f.message} [{f.rule}]"
        for f in power.report.findings
        if f.severity is Severity.WARNING and about & set(f.parts)
    )
    sections = (
        (opening, ()),
        ("What feeds what, and why", feeds),
        ("The joins, from the packs outward", _joins(power)),
        ("Parts for it", new),
        ("A fuse, where you want one", _fuses(power)),
        ("Ruled out, or not joined", power.notes),
        ("What the rules still warn of", warned),
        ("Before anything is connected", (armed(power.report.plan), MAKERS)),
    )
    return "\n".join(filter(None, (_part(head, lines) for head, lines in sections)))


def _feeds(power: PowerPlan, source: PowerSource, fed: tuple[str, ...]) -> Iterator[str]:
    wiring, parts = power.report.wiring, power.report.plan.parts
    yield f"{source.words} {'feeds' if len(source.parts) == 1 else 'feed'} {quoted(fed)}"
    full = full_volts(wiring, parts[fed[0]])
    said = [f"{volts(round(full, 2))} when full"] if full else []
    said += [
        f"{parts[name].named()} bears {most} cells"
        for name in fed
        if (most := getattr(parts[name], "cells_max", None))
    ]
    for pack in of_kind(Pack, (parts[name] for name in source.parts)):
        flow, trust = currents(wiring).by_source.get(pack.id), cautious_limit(wiring.plan, pack)
        if flow is not None and trust is not None:
            said.append(
                f"{pack.named()} gives up to {amps(round(flow.steady, 1))} for good, of"
                f" {amps(trust.number)} that can be trusted"
            )
    yield f"    why: {'; '.join(said)}"


def _joins(power: PowerPlan) -> Iterator[str]:
    wiring, parts = power.report.wiring, power.report.plan.parts
    for name in power.joined:
        mates = [m for m in wiring.mates if m.plug.part.id == name and m.plug.form in BATTERY]
        ports = [port for mate in mates for port in (mate.plug, mate.socket) if port]
        kinds = spoken(dict.fromkeys(port.connector or "not stated" for port in ports))
        how, full = "red to red, black to black", full_volts(wiring, parts[name])
        first, told = "", f"red plus, {volts(round(full, 2))} at most" if full else "red plus"
        if parts[name].kind == "series":
            how = f'red of each to black of the next, "{mates[0].into}" the lowest'
        if len(mates) > 1:
            near = wiring.plan.catalogue.number("rules", "parallel", "warning")
            first = (
                f"each pack alone, within {volts(near)} a cell of one another; then its free end, "
            )
        yield f"{spoken(map(joined, mates))} ({kinds}): {how}; {METERED}: {first}{told}"


def _fuses(power: PowerPlan) -> Iterator[str]:
    """Say how large a fuse would have to be: above what flows, and up to what its wires bear."""
    wiring, parts = power.report.wiring, power.report.plan.parts
    for name in (n for _, fed in power.side.feeds for n in fed if parts[n].drives):
        run = [part for run in runs_of(wiring, parts[name])[:1] for part in run.parts[:-1]]
        sizes = [size for part in run if (size := getattr(part, "wire", None)) is not None]
        flow = max((flow := currents(wiring).port(name, "supply")).steady, flow.burst)
        bears = wire_bears(wiring.plan, min(sizes), battery=True) if sizes else None
        if bears and 0 < flow < bears.steady.number and all(part.group != "fuses" for part in run):
            yield (
                f"for {parts[name].named()}, right where its thin wire begins: above"
                f" {amps(round(flow, 1))}, what flows, and up to {amps(bears.steady.number)},"
                f" what {min(sizes).text} bears"
            )


def power_data(power: PowerPlan) -> dict[str, Any]:
    """Return the battery side as plain data, for JSON."""
    feeds = [
        {"from": list(source.parts), "joined": source.how or None, "to": list(fed)}
        for source, fed in power.side.feeds
    ]
    return {
        "feeds": feeds,
        "joins": list(_joins(power)),
        "new": list(power.new),
        "bought": list(power.bought),
        "fuses": list(_fuses(power)),
        "ruled_out": list(power.notes),
    }


def no_power_text(answer: NoPower) -> str:
    """Return why no battery side is proposed."""
    head = "There is no safe battery side. What stands in the way"
    return "\n".join(filter(None, (_part(head, answer.causes), _part("Not joined", answer.notes))))


def no_power_data(answer: NoPower) -> dict[str, Any]:
    """Return the same as plain data, for JSON."""
    return {"plan": None, "causes": list(answer.causes), "not_joined": list(answer.notes)}
