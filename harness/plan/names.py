"""Every name in a plan must stand for something: places, parts, functions, cases."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from collections.abc import Mapping as AbcMapping
from typing import Any

from harness.base.near import nearest, spoken
from harness.base.rings import ring_in
from harness.base.span import Span
from harness.parts.esc import Esc
from harness.parts.kinds import GROUPS
from harness.parts.part import Part
from harness.plan.airframe import Place
from harness.plan.operation import BUILT_IN_CASES, GROUP_WORDS
from harness.plan.plan import Plan
from harness.plan.short import MOST_ALIKE
from harness.reading.kinds import ID_PATTERN
from harness.reading.nodes import Items, Mapping, Node, Scalar, entries_of, is_empty
from harness.reading.problems import Reading


def _may_be_called(top: Mapping, at: Reading) -> None:
    """Note every case with a name that is kept."""
    for entry in entries_of(top.get("cases")):
        name, span = entry.key.text, entry.key.span
        if name in BUILT_IN_CASES:
            message = f'"{name}" is the name of a built-in case'
            at.wrong(message, span, f"give it a name of its own, and start with `like: {name}`")
        elif name == "worst" or name.startswith("only-") or name.endswith("-stalled"):
            at.wrong(
                f'"{name}" is kept for cases that are made from the plan',
                span,
                "give it another name",
            )


def check_names(plan: Plan, top: Mapping, ids: Iterable[str], at: Reading) -> None:
    """Note every name in `cases` and `flight` that stands for nothing. `ids`: of all parts."""
    _may_be_called(top, at)
    own = list(entries_of(top.get("cases")))
    cases = [*BUILT_IN_CASES, *(entry.key.text for entry in own)]
    moving = [*GROUP_WORDS, *_functions(plan, top), *_movers(plan, ids)]
    what = "function, servo or leg"
    for node in (entry.node for entry in own if isinstance(entry.node, Mapping)):
        _known("case", node.get("like"), cases, at)
        _known(what, node.get("moving"), moving, at)
        _known(what, node.get("stalled"), moving, at)
        _known("part", node.get("without"), ids, at)
    for phase in plan.flight:
        if phase.case and phase.case not in cases:
            at.unknown("case", phase.case, phase.spans["case"], cases)
    _cases_begin_somewhere(plan, at)
    _own_words(plan, at)


def _own_words(plan: Plan, at: Reading) -> None:
    """A word of the plan's own stands for one that is known, or says itself what it does."""
    for name, word in plan.functions.items():
        row = {key: text for key, text in word.row().items() if text}
        for key in ("means", "mixes", "on"):
            for other in row.get(key, "").split():
                if plan.words.find(other) is None:
                    at.unknown("function", other, word.spans[key], plan.words.functions)
        if alone := next((key for key in ("means", "side") if key in row and len(row) > 1), ""):
            spare = next(key for key in row if key != alone)
            at.wrong(
                f'"{name}" says `{alone}`, which tells all there is',
                word.spans[spare],
                f"leave out `{spare}`",
            )


def _known(what: str, node: Node | None, pool: Iterable[str], at: Reading) -> None:
    """Check each name of a value, one or a list, where it stands."""
    names = set(pool)
    for item in node.items if isinstance(node, Items) else [node]:
        if isinstance(item, Scalar) and item.text not in names and _is_name(item):
            at.unknown(what, item.text, item.span, names)


def _is_name(item: Scalar) -> bool:
    """What is no name at all has been told already."""
    return not is_empty(item) and re.match(ID_PATTERN, item.text) is not None


def functions_of(plan: Plan) -> Iterator[str]:
    """Yield the functions of channels and parts."""
    yield from (channel.function for channel in plan.channels.values())
    for part in plan.parts.values():
        yield getattr(part, "moves", "")
        yield from part.outputs.values() if part.sets_outputs else ()


def _functions(plan: Plan, top: Mapping) -> Iterator[str]:
    """Yield every function, also of parts that could not be read."""
    yield from functions_of(plan)
    for group in GROUPS:
        for entry in entries_of(top.get(group)):
            moves = entry.node.get("moves") if isinstance(entry.node, Mapping) else None
            if isinstance(moves, Scalar):
                yield moves.text


def _movers(plan: Plan, ids: Iterable[str]) -> list[str]:
    """Return the ids of servos and legs, and of what could not be read."""
    return [n for n in ids if n not in plan.parts or plan.parts[n].group in {"servos", "retracts"}]


def _cases_begin_somewhere(plan: Plan, at: Reading) -> None:
    """A case cannot start from itself, not even by way of others, nor through too many."""
    graph = {name: [case.like] for name, case in plan.cases.items() if case.like in plan.cases}
    if ring := sorted(set(ring_in(graph))):
        like = "is like itself" if len(ring) == 1 else "are like one another"
        span = plan.cases[ring[0]].spans["like"]
        at.wrong(f"{spoken(ring)} {like}", span, "one of them must start from another case")
        return
    if deep := next((name for name in graph if _is_deep(plan, name)), ""):
        message = f"this case starts from a case, more than {MOST_ALIKE} deep"
        at.wrong(message, plan.cases[deep].spans["like"], "name the first of them")


def _is_deep(plan: Plan, name: str) -> bool:
    """Say whether a case starts from one that starts from one, and so on, too often."""
    for _ in range(MOST_ALIKE + 1):
        name = plan.cases[name].like if name in plan.cases else ""
    return name in plan.cases


def _places(places: AbcMapping[str, Place], names: list[str], at: Reading) -> None:
    """Check what places say of one another. `names`: of all places, also the unreadable."""
    for place in places.values():
        for word, name in (("in", place.within), ("joins", place.joins)):
            if name and name not in names:
                at.unknown("place", name, place.spans[word], names)
        if place.joined and not place.joins:
            message = f'place "{place.id}" joins nothing, so `joined` says nothing'
            at.wrong(message, place.spans["joined"], "add `joins: PLACE`, or leave it out")
    _no_ring(
        {p.id: [n for n in (p.within, p.joins) if n in places] for p in places.values()},
        {p.id: p.spans.get("in", p.spans.get("joins", p.span)) for p in places.values()},
        at,
    )


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
    if all(name in plan.parts for name in ids):
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
                at.wrong(*no_class(name, rows, piece.spans[word], () if at.many else known))


def no_class(name: str, table: str, span: Span, known: Iterable[str]) -> tuple[str, Span, str]:
    """Say that a class is none: the nearest, and how all are listed."""
    pool = list(known)
    stem = re.match(r"[0-9.]+[a-z]|[a-z0-9]{4}", name.lower())
    near = nearest(name, pool) or next(
        (row for row in pool if stem and stem[0] == row[: stem.end()]), ""
    )
    meant = f'did you mean "{near}"? ' if near else ""
    return (
        f'there is no class "{name}" of {table}',
        span,
        f"{meant}`harness keys {table}` lists them",
    )


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
        at.wrong(
            f"{spoken(ring)} must each be closed after the other",
            span,
            "one of them is closed first",
        )


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
            at.wrong(
                "apart says what is kept away from what",
                wish.spans["wish"],
                "write `of: steering` and `from: rudder`",
            )
        if wish.wish in {"own-trim", "two-plugs"} and not wish.of:
            at.wrong(
                f"{wish.wish} says of which function", wish.spans["wish"], "add `of: FUNCTION`"
            )
