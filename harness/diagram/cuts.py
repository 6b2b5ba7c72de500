"""What a view, a place, a function or a lead shows of the wiring, and the ways through it."""

from __future__ import annotations

from collections.abc import Iterable

from harness.base.near import hint
from harness.base.refusal import MOST_PARTS, Refusal
from harness.diagram.stages import Extract, PortId, ViewWish
from harness.parts.autopilot import Autopilot
from harness.parts.bec import Bec
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Form
from harness.parts.esc import Esc
from harness.parts.pack import Pack
from harness.parts.regulator import Regulator
from harness.plan.plan import Plan
from harness.rules.run import Report
from harness.wiring.build import Mate, Wiring
from harness.wiring.codes import port_codes
from harness.wiring.graph import runs

BATTERY_FORMS = frozenset({Form.POWER, Form.MOTOR, Form.BALANCE})


def refuse_many(count: int, view: str) -> None:
    """Raise Refusal for more parts than a view shows in good time."""
    if count > MOST_PARTS[view]:
        wish = "--view run" if view == "airframe" else "--place, --function or --lead"
        shown = f"{count} parts are more than the {view} view shows, at most {MOST_PARTS[view]}"
        raise Refusal(f"{shown}: take harness draw PLAN {wish}")


def cut_of(report: Report, wish: ViewWish) -> Extract:
    """Return the parts and mates a wish asks for.

    Raises Refusal for a name the plan lacks, and for more parts than the view shows.
    """
    cut = _cut(report, wish)
    refuse_many(len((report.plan if wish.view == "airframe" else cut).parts), wish.view)
    return cut


def _cut(report: Report, wish: ViewWish) -> Extract:
    wiring, plan = report.wiring, report.plan
    mates = [mate for mate in wiring.mates if mate.plug.id in _in_view(wiring, wish.view)]
    if wish.lead:
        mates = traced(wiring, _plugs_called(wiring, wish.lead))
        return cut_around(mates, [p for p in plan.parts if p in ends_of(mates)], loose=False)
    parts = _parts_in_view(wiring, wish.view, mates)
    if wish.place:
        inside = _in_place(plan, wish.place)
        parts = [part for part in parts if part in inside]
    if wish.function:
        members = serving(wiring, _function(plan, wish.function))
        parts = [part for part in parts if part in members]
        mates = list(cut_around(mates, members, loose=False).mates)
    if not parts and (wish.place or wish.function):
        raise Refusal(_nothing(wish))
    return cut_around(mates, parts)


def _nothing(wish: ViewWish) -> str:
    """Say what a wish asks for that is not there."""
    what = f"nothing of function {wish.function}" if wish.function else "nothing"
    if wish.view in {"power", "control"}:
        what += f" in the {wish.view} view"
    return f"{what} lies in {wish.place}" if wish.place else f"there is {what}"


def cut_around(mates: Iterable[Mate], parts: Iterable[str], *, loose: bool = True) -> Extract:
    """Return the parts with the mates at them; without `loose` only those between them."""
    shown = dict.fromkeys(parts)
    return Extract(tuple(shown), tuple(m for m in mates if _is_shown(m, shown, loose=loose)))


def _is_shown(mate: Mate, shown: Iterable[str], *, loose: bool) -> bool:
    ends = [mate.plug.part.id in shown]
    if mate.socket is not None:
        ends.append(mate.socket.part.id in shown)
    return any(ends) if loose else all(ends)


def _in_view(wiring: Wiring, view: str) -> set[PortId]:
    """Return the plugs that a view shows."""
    every = {mate.plug.id for mate in wiring.mates}
    if view in {"run", "airframe"}:
        return every
    battery = {m.plug.id for m in wiring.mates if m.plug.form in BATTERY_FORMS}
    feeds = _feeding(wiring, (Pack, Regulator))
    if view == "control":
        return every - battery - feeds
    return battery | feeds | _feeding(wiring, (Esc,))


def _feeding(wiring: Wiring, kinds: tuple[type, ...]) -> set[PortId]:
    """Return the plugs on the way from supplies of some kinds to the rails they feed."""
    found: set[PortId] = set()
    for port in wiring.ports.values():
        part = port.part
        if not (isinstance(part, kinds) and port.is_plug and port.form is Form.THREE_PIN):
            continue
        chain = wiring.upstream(*port.id)
        cut = any("positive" in mate.join.pulled for mate in chain)
        if not part.drives or (isinstance(part.bec, Bec) and not cut):
            found.update(mate.plug.id for mate in chain)
    return found


def _parts_in_view(wiring: Wiring, view: str, mates: Iterable[Mate]) -> list[str]:
    parts, ends = wiring.plan.parts, ends_of(mates)
    if view in {"run", "airframe"}:
        return list(parts)
    battery = {part for part in parts if parts[part].battery_side}
    # what hangs on nothing is in some view all the same
    more = battery if view == "power" else parts.keys() - battery - ends_of(wiring.mates)
    return [part for part in parts if part in ends | more]


def _in_place(plan: Plan, place: str) -> set[str]:
    if place not in plan.places:
        raise Refusal(f'the plan has no place "{place}"; {hint(place, plan.places)}'.rstrip("; "))
    return {p.id for p in plan.parts.values() if place in plan.holds(p.place)}


def functions_of(plan: Plan) -> list[str]:
    """Return every function a plan speaks of."""
    found = [channel.function for channel in plan.channels.values()]
    found += [name for pilot in plan.of(Autopilot) for name in pilot.outputs.values()]
    found += [moves for part in plan.parts.values() if (moves := getattr(part, "moves", ""))]
    return list(dict.fromkeys(found))


def _function(plan: Plan, name: str) -> str:
    known = functions_of(plan)
    if name not in known:
        raise Refusal(f'the plan has no function "{name}"; {hint(name, known)}'.rstrip("; "))
    return name


def _plugs_called(wiring: Wiring, name: str) -> list[PortId]:
    """Return the plugs of a lead given by label code, by part, or by part.plug."""
    codes = port_codes(wiring)
    plugs = [mate.plug.id for mate in wiring.mates]
    for match in (
        [p for p in plugs if codes.get(p) == name],
        [p for p in plugs if ".".join(p) == name],
        [p for p in plugs if p[0] == name],
    ):
        if match:
            return match
    known = [*(codes[p] for p in plugs if p in codes), *(p[0] for p in plugs)]
    raise Refusal(f'the plan has no lead "{name}"; {hint(name, known)}'.rstrip("; "))


def ends_of(mates: Iterable[Mate]) -> set[str]:
    """Return the parts at both ends of some mates."""
    found: set[str] = set()
    for mate in mates:
        found.add(mate.plug.part.id)
        if mate.socket is not None:
            found.add(mate.socket.part.id)
    return found


def traced(wiring: Wiring, plugs: Iterable[PortId]) -> list[Mate]:
    """Return the mates from some plugs up to their source and down to their devices."""
    from networkx import descendants

    found: set[PortId] = set()
    for plug in plugs:
        found |= {plug, *_above(wiring, plug), *descendants(runs(wiring), plug)}
    return [mate for mate in wiring.mates if mate.plug.id in found]


def _above(wiring: Wiring, plug: PortId) -> set[PortId]:
    from networkx import ancestors

    return ancestors(runs(wiring), plug)


def serving(wiring: Wiring, function: str) -> set[str]:
    """Return the parts that serve a function, from its socket to the motor and the pack."""
    found: set[str] = set()
    for port in wiring.ports.values():
        if not port.is_plug and wiring.plan.gives(port) == function:
            found |= {port.part.id, *(plug.part.id for plug in wiring.downstream(port.id))}
    for part in wiring.plan.parts.values():
        if getattr(part, "moves", "") == function:
            found |= {part.id, *ends_of(wiring.upstream(part.id))}
    for name in sorted(found):
        if wiring.plan.parts[name].drives:
            found |= _drive(wiring, name)
    return found


def _drive(wiring: Wiring, esc: str) -> set[str]:
    """Return what an ESC drives, what sits at it, and what feeds it."""
    motors = {mate.plug.part.id for mate in wiring.by_socket.get((esc, "motor"), ())}
    caps = {c.id for c in wiring.plan.of(Capacitor) if c.across == esc}
    supply = (esc, "supply")
    if supply not in wiring.by_plug:
        return motors | caps
    above = {supply, *_above(wiring, supply)}
    return motors | caps | ends_of(mate for mate in wiring.mates if mate.plug.id in above)
