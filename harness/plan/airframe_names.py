"""Checks every name of a place, function or part in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from harness.base.near import spoken
from harness.base.rings import ring_in
from harness.base.span import Span
from harness.parts.esc import Esc
from harness.parts.part import Part
from harness.plan.airframe import Place
from harness.plan.case_names import functions_of
from harness.plan.plan import Plan
from harness.reading.kinds import Reading


def _places(places: Mapping[str, Place], names: list[str], at: Reading) -> None:
    """Check what places say of one another. `names`: of all places, also the unreadable."""
    for place in places.values():
        for word, name in (("in", place.within), ("joins", place.joins)):
            if name and name not in names:
                at.unknown("place", name, place.spans[word], names)
        if place.joined and not place.joins:
            message = f'place "{place.id}" joins nothing, so `joined` says nothing'
            at.wrong(message, place.spans["joined"], "add `joins: PLACE`, or leave it out")
    _no_ring({p.id: [n for n in (p.within, p.joins) if n in places] for p in places.values()},
             {p.id: p.spans.get("in", p.spans.get("joins", p.span)) for p in places.values()},
             at)  # fmt: skip


def _no_ring(graph: dict[str, list[str]], spans: dict[str, Span], at: Reading) -> None:
    """A place cannot lie in itself or be joined to itself, not even by way of others."""
    if ring := ring_in(graph):
        names = " in or on ".join(f'"{name}"' for name in reversed(ring))
        message = f"these places lie in a ring: {names}"
        at.wrong(message, spans[min(ring)], "one of them is the outermost")


def check_airframe(plan: Plan, bays: list[str], ids: Collection[str], at: Reading) -> None:
    """Note every name in ducts, covers, routes, joins and the kit that stands for nothing."""
    _places(plan.places, bays, at)
    for what, name, span in _place_names(plan):
        if name not in bays:
            at.wrong(f'there is no place "{name}" for {what}', span, at.hint(name, bays))
    for duct in plan.ducts.values():
        if duct.between[0] == duct.between[1]:
            at.wrong(f'duct "{duct.id}" begins and ends in one place', duct.spans["between"])
    _covers(plan, at)
    _spots(plan, at)
    _kit(plan, ids, at)
    _wishes(plan, at)


TABLES = {"servo": "servos", "retract": "retracts", "receiver": "receivers",
          "autopilot": "receivers", "stabiliser": "receivers", "pack": "packs"}  # fmt: skip
"""The tables of the catalogue in which the classes of pieces stand."""


def _kit(plan: Plan, ids: Collection[str], at: Reading) -> None:
    """A piece is meant for a part that is there, and its classes are known, as a part's are."""
    for piece in plan.kit:
        if piece.meant_for and piece.meant_for not in ids:
            at.unknown("part", piece.meant_for, piece.spans["for"], ids)
        table = TABLES.get(piece.kind, "")
        named = (("class", table, piece.class_), ("connector", "plugs", piece.connector))
        for word, rows, name in named:
            known = plan.catalogue.rows(rows) if rows and name else ()
            if known and name not in known:
                message = f'there is no class "{name}" in {rows}'
                at.wrong(message, piece.spans[word], at.hint(name, known))


def _place_names(plan: Plan) -> Iterator[tuple[str, str, Span]]:
    """Yield what names a place, the name, and where."""
    for duct in plan.ducts.values():
        yield from ((f'duct "{duct.id}"', name, duct.spans["between"]) for name in duct.between)
    for cover in plan.covers.values():
        yield from ((f'cover "{cover.id}"', name, cover.spans["over"]) for name in cover.over)
    for part in plan.parts.values():
        yield from ((f"the route of {part.named()}", n, part.at("route")) for n in part.route)
        for _, join in part.joins():
            if join.made_in:
                yield f"a plug of {part.named()}", join.made_in, join.spans["in"]


def _covers(plan: Plan, at: Reading) -> None:
    for cover in plan.covers.values():
        for name in cover.after:
            if name not in plan.covers:
                at.unknown("cover", name, cover.spans["after"], plan.covers)
    graph = {c.id: [n for n in c.after if n in plan.covers] for c in plan.covers.values()}
    if ring := sorted(set(ring_in(graph))):
        span = plan.covers[ring[0]].spans["after"]
        at.wrong(f"{spoken(ring)} must each be closed after the other", span,
                 "one of them is closed first")  # fmt: skip


def _spots(plan: Plan, at: Reading) -> None:
    """A distance from the centre line needs a side to lie on."""
    if at.noted:
        return  # the places may not hold together
    for place in plan.places.values():
        sides = (plan.places[name].side for name in plan.holds(place.id))
        _sided(f'place "{place.id}"', place, any(sides), at)
    for part in plan.parts.values():
        _sided(part.named(), part, bool(plan.side(part)), at)


def _sided(what: str, thing: Place | Part, has_side: bool, at: Reading) -> None:
    if thing.spot is not None and thing.spot.out and not has_side:
        span: Any = thing.spot.spans["out"]
        message = f"{what} lies out from the centre line, but on which side?"
        at.wrong(message, span, "give its place `side: left` or `side: right`, or leave out `out`")


def _wishes(plan: Plan, at: Reading) -> None:
    """A wish names functions that something moves or a channel has."""
    known = {f for f in functions_of(plan) if f} | ({"throttle"} if any(plan.of(Esc)) else set())
    for wish in plan.wishes:
        for word, names in (("of", wish.of), ("from", wish.away_from)):
            for name in names:
                if not any(name in (f, *f.split("-")) or f.startswith(f"{name}-") for f in known):
                    hint = at.hint(name, known)
                    at.wrong(f'nothing here moves "{name}"', wish.spans[word], hint)
        if wish.wish == "apart" and not (wish.of and wish.away_from):
            at.wrong("apart says what is kept away from what", wish.spans["wish"],
                     "write `of: steering` and `from: rudder`")  # fmt: skip
        if wish.wish in {"own-trim", "two-plugs"} and not wish.of:
            at.wrong(f"{wish.wish} says of which function", wish.spans["wish"],
                     "add `of: FUNCTION`")  # fmt: skip
