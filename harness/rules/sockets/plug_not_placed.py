"""A part's plug goes nowhere.

What it looks for
    A servo, ESC, retract leg, sequencer, motor, sensor, lead, switch or diode for which the plan
    does not say where its plug goes, or one circuit of a wing plug in use without its lead.
    `like` does not repeat a plug, so a part made with `like` needs its own.

Why it matters
    A part that is plugged into nothing is left out of every check, picture and list after this.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      elevator-left: {plug: rx.2}
      elevator-right: {like: elevator-left}

The same, mended
    servos:
      elevator-right: {like: elevator-left, plug: rx.5}

Where it comes from
    The thing itself: every plug goes into a socket, or the lead is not in use.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.below import behind
from harness.facts.homes import Offered, driven_by, way_in
from harness.facts.rails import rails
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.live import is_placed

OUT = ", or take the part out of the plan"
ASSIGN = "`harness assign PLAN` proposes all at once"


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each part once."""
    offered: Offered = {}
    for part in desk.plan.parts.values():
        optional = part.holds_cells or part.is_radio
        if part.has_key("plug") and not optional and not _placed(desk, part):
            unfed = (part.drives or part.regulates) and not is_placed(desk.wiring, part)
            nor, too = (
                (", nor what it is fed from", " and say what feeds it (`supply: ...`)")
                if unfed
                else ("", "")
            )
            yield check.finding(
                f"the plan does not say where the plug of {part.named()} goes{nor}",
                part.span,
                part,
                spot="plug",
                help=_where(desk, part, too, offered),
            )
    for plug in desk.plan.of(WingPlug):
        for name in plug.circuits:
            if name not in plug.plugs and desk.wiring.by_socket.get((plug.id, name)):
                says = _home(desk, plug, f"plug-{name}", name, offered, " among its plugs")
                yield check.finding(
                    f'circuit "{name}" of {plug.named()} is in use, but the plan does not say where'
                    " its lead goes",
                    plug.at("circuits"),
                    plug,
                    spot=name,
                    help=says,
                )


def _where(desk: Desk, part: Part, too: str, offered: Offered) -> str:
    """What others hang on, or name, is not told to go."""
    ports = (p.name for p in desk.wiring.by_part[part.id] if p.is_plug)
    port = next((name for name in ports if name.startswith("plug")), "")
    if part.carries_signal and not behind(desk.wiring, part.id):
        return "nothing is plugged into it: say first what hangs on it, or take it out of the plan"
    named = {name for other in desk.plan.parts.values() for name, _ in other.others()}
    in_use = part.id in named or any(name == part.id for name, _ in desk.wiring.by_socket)
    end = too + ("" if in_use else OUT)
    return _home(desk, part, port, "plug", offered, end)


def _home(desk: Desk, part: Part, name: str, key: str, offered: Offered, end: str) -> str:
    """Name the free sockets that are right for what hangs on a plug; once, who proposes all."""
    plug, first_of_all = desk.wiring.ports.get((part.id, name)), not offered
    driven = plug is not None and bool(driven_by(desk.wiring, plug))
    way = way_in(desk.wiring, plug, offered) if plug is not None else ""
    end += f"; {ASSIGN}" if driven and first_of_all else ""
    if driven and not way:
        return f"nothing that is free is for it: free a socket, and add `{key}: part.socket`{end}"
    first = way.removeprefix("into ").split(" ")[0].strip(",")
    pulled = plug is not None and _both_fed(desk, plug, first)
    into = f"{{into: {first}, pulled: positive}}" if pulled else first
    shown = f" (`{key}: {into}`)" if first != "a" else ""
    way += ", its red pin pulled: what it plugs into is fed already" if pulled else ""
    return (f"plug it {way}{shown}" if way else f"add `{key}: part.socket`") + end


def _both_fed(desk: Desk, plug: Port, socket: str) -> bool:
    """Say whether a plug gives a supply, and its socket has one already."""
    box, _, name = socket.partition(".")
    ends = (plug, desk.wiring.ports.get((box, name)))
    return all(end is not None and rails(desk.wiring).feeds(end.pin("positive")) for end in ends)


def _placed(desk: Desk, part: Part) -> bool:
    """What obeys no signal may hang on a supply alone; a regulator's output may be its socket."""
    if any(port.startswith("plug") for port, _ in part.joins()):
        return True
    if part.regulates:
        return bool(desk.wiring.by_socket.get((part.id, "out")))
    return not part.obeys and bool(part.joins())
