"""Leads at hand that were passed over: too short, or too thin, for where they would have gone.

Where one would have gone is where a lead of its kind lies now, one to be bought first of all. What
is wanted there is what the other leads of those runs leave over, and what flows there is what flows
through the lead that went there instead.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import product

from harness.airframe.lengths import lengths_of
from harness.airframe.stock import EVEN
from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.span import Source
from harness.base.units import LENGTH, format_quantity, parse_wire
from harness.facts.currents import amps, currents, over, wire_bears
from harness.facts.wording import quoted
from harness.parts.lead import Lead
from harness.plan.load import parse_plan
from harness.plan.rewrite import SetKey, apply
from harness.planner.builds import thickest
from harness.planner.items import Unplugged
from harness.planner.judge import JudgedAnswer
from harness.planner.proposal import Chosen, PassedOver
from harness.planner.space import Space
from harness.planner.stock import StockPiece
from harness.planner.writing import host_of, shopping
from harness.rules.run import Report, all_rules, check


@dataclass(frozen=True)
class LeadPlace:
    """Where leads of a group lie, one or more behind one another. `wants`: mm of lead.

    `lead`: the id of the first, `room`: how many leads the rules advise there at most.
    """

    pieces: tuple[StockPiece, ...]
    lead: str
    items: tuple[Unplugged, ...]
    wants: float
    room: int

    def takes(self, piece: StockPiece) -> bool:
        """Say whether a piece could lie there, were it long and thick enough."""
        kinds = {other.kind for other in self.pieces}
        if piece.kind == "n-way":
            return "extension" not in kinds and piece.ways >= len(self.items)
        return kinds == {piece.kind} and (piece.kind == "extension" or len(self.pieces) == 1)

    @property
    def bought(self) -> bool:
        """Say whether a lead must be bought for it."""
        return any(piece.bought for piece in self.pieces)

    def short(self, piece: StockPiece) -> float:
        """Return how many mm a piece lacks there."""
        lacking = self.wants - piece.reach
        return lacking if lacking > EVEN else 0.0


def passed_over(space: Space, judged: JudgedAnswer) -> tuple[PassedOver, ...]:
    """Return the leads at hand that an answer leaves out because they would not do."""
    left, places = _left(space, judged), _places(space, judged)
    found = (_passed(judged, piece, left, places) for piece in left)
    return tuple(one for one in found if one)


def _left(space: Space, judged: JudgedAnswer) -> dict[StockPiece, int]:
    used = Counter(shopping(judged.answer))
    stock = space.yard.stock.items()
    return {piece: count - used[piece] for piece, count in stock if count > used[piece]}


def swaps(space: Space, judged: JudgedAnswer) -> Iterator[str]:
    """Yield which extension that is plugged in already would save one to buy, by one left over.

    Each is laid on the answer and judged: no rule may have anything new to say.
    """
    left = [p for p in _left(space, judged) if p.kind == "extension" and p.gauge and p.length > 0]
    places = [p for p in _places(space, judged) if p.bought and p.pieces[0].kind == "extension"]
    spare = _spare(judged) if left and places else {}
    for place in places:
        for lead, piece in product(space.plan.of(Lead), left):
            length = lead.length or 0.0
            fits = place.wants <= length + EVEN and place.short(piece) and lead.wire is not None
            less = 0 < length - piece.length <= spare.get(lead.id, -1.0) + EVEN
            if fits and less and _swaps(judged, place.lead, lead, piece):
                where = f"{piece.named()} ({piece.where()})"
                yield (
                    f'"{lead.id}", plugged in already, would do for {quoted(_ids(place))} if '
                    f"{where} took its place: one lead less to buy"
                )
                left.remove(piece)
                del spare[lead.id]
                break


def _spare(judged: JudgedAnswer) -> dict[str, float]:
    """Return for each extension how many mm shorter it could be, where all its runs say so."""
    found: dict[str, float] = {}
    for run in lengths_of(judged.report.wiring):
        for part in (piece.part for piece in run.run.pieces):
            if part.kind == "extension" and part.carries_signal and not part.as_made:
                spare = -1.0 if run.spare is None else run.spare
                found[part.id] = min(spare, found.get(part.id, spare))
    return found


def _swaps(judged: JudgedAnswer, new: str, lead: Lead, piece: StockPiece) -> bool:
    assert lead.length and lead.wire
    plan, before = judged.report.plan, judged.report
    mine = (("length", format_quantity(lead.length, LENGTH, 6)), ("wire", lead.wire.text))
    edits = [SetKey(new, key, value) for key, value in mine]
    edits += [
        SetKey(lead.id, "length", format_quantity(piece.length, LENGTH, 6)),
        SetKey(lead.id, "wire", piece.gauge),
    ]
    after = check(parse_plan(Source(plan.source.name, apply(plan, edits))))
    return _said(after) <= _said(before)


def _said(report: Report) -> set[tuple[str, tuple[str, ...]]]:
    """What rules say, but for those about what is bought or left over."""
    rules = all_rules()
    return {(f.rule, f.parts) for f in report.findings if rules[f.rule].family != "kit"}


def _ids(place: LeadPlace) -> tuple[str, ...]:
    return tuple(item.id for item in place.items)


def _passed(
    judged: JudgedAnswer, piece: StockPiece, left: dict[StockPiece, int], places: list[LeadPlace]
) -> PassedOver | None:
    """Return why a piece is left over, at the place where it comes nearest to what is wanted."""
    could = [place for place in places if place.takes(piece)]
    could = [place for place in could if place.bought] or could
    why = [_why_not(judged, piece, left, place) for place in could]
    used = any(piece in place.pieces for place in could)
    if used or not why or not all(why):  # it would do: others are as good, or a rule said no
        return None
    place, said = min(zip(could, why, strict=True), key=lambda pair: pair[0].short(piece))
    instead = spoken(
        f"{f'{n} ' if n > 1 else ''}{other.named(n)} ({other.where()})"
        for other, n in Counter(place.pieces).items()
    )
    wants = round(place.wants, 3) if place.short(piece) else None
    there = left[piece], piece.where(), _ids(place)
    return PassedOver(piece.named(), *there, wants, said, instead)


def _why_not(
    judged: JudgedAnswer, piece: StockPiece, left: dict[StockPiece, int], place: LeadPlace
) -> str:
    short, wants = place.short(piece), format_quantity(round(place.wants, 3), LENGTH)
    said = [_thin(judged, piece, place)]
    if short and piece.length < 0:
        said.append(f"{wants} wanted, and nobody said how long it is: measure it")
    elif short:
        there, lacks = (format_quantity(round(mm, 3), LENGTH) for mm in (piece.length, short))
        told = f"{lacks} too short ({wants} wanted, {there} there)"
        said.append(told + _in_line(piece, left, place))
    return ", and ".join(filter(None, said))


def _in_line(piece: StockPiece, left: dict[StockPiece, int], place: LeadPlace) -> str:
    """Say how many leads in a row it would take with what else is at hand, where too many."""
    wire, most = thickest(place.items), 0
    others = Counter(left)
    others[piece] -= 1
    pool = [p for p in others.elements() if p.kind == "extension" and p.thick_enough(wire)]
    pool.sort(key=lambda p: p.reach)
    for _ in range(1 if piece.kind == "extension" else len(place.items)):
        lacking, more = place.short(piece), 0
        while pool and lacking > EVEN:
            lacking, more = lacking - pool.pop().reach, more + 1
        if lacking > EVEN:
            return ""
        most = max(most, more)
    if 1 + most <= place.room:
        return ""
    return f"; {1 + most} leads in a row would do, but the rules advise against so many joints"


def _thin(judged: JudgedAnswer, piece: StockPiece, place: LeadPlace) -> str:
    """Say that a piece bears less than flows there, or is thinner than the own lead behind it."""
    wire = thickest(place.items)
    if piece.gauge and piece.area < place.pieces[0].area and not judged.report.first:
        bears = wire_bears(judged.report.plan, parse_wire(piece.gauge), battery=False)
        flow = currents(judged.report.wiring).port(place.lead, "plug")
        if bears and bears.exceeded(flow):
            lasts = over(flow.steady, bears.steady.number)
            least, most = (bears.steady, flow.steady) if lasts else (bears.burst, flow.burst)
            at_once = "" if lasts else " at once"
            return (
                f"too thin ({piece.gauge} bears {amps(least.number)}{at_once}, {amps(most)} flow)"
            )
    if wire and not piece.thick_enough(wire):
        own = next(item.id for item in place.items if item.wire == wire)
        return f'too thin ({piece.gauge}; the own lead of "{own}" is {wire.text})'
    return ""


def _places(space: Space, judged: JudgedAnswer) -> list[LeadPlace]:
    """Return where leads lie: arm by arm, the extension before them, the tree."""
    found: list[LeadPlace] = []
    for chosen in judged.answer.groups:
        leads: dict[int, str] = {}
        for lead, slot, _ in judged.writing.slots.get(chosen.use.names, ()):
            leads.setdefault(slot, lead)
        found += _of_arms(chosen, leads)
        found += _of_tree(space, chosen, leads) if chosen.use.build.splitters else ()
    return found


def _of_arms(chosen: Chosen, leads: dict[int, str]) -> Iterator[LeadPlace]:
    """Yield each arm, or each lead that must be bought for it beside what the kit gives."""
    arms = zip(chosen.use.items, chosen.use.build.arms, chosen.arms, strict=True)
    for n, (item, arm, pieces) in enumerate(arms):
        new: list[tuple[StockPiece, ...]] = [(piece,) for piece in pieces if piece.bought]
        for part in new or ([pieces] if pieces else []):
            rest = sum(p.reach for p in pieces) - sum(p.reach for p in part)
            room = arm.room - len(pieces) + len(part)
            yield LeadPlace(part, leads[-1 - n], (item,), arm.wants - rest, room)


def _of_tree(space: Space, chosen: Chosen, leads: dict[int, str]) -> Iterator[LeadPlace]:
    build, items = chosen.use.build, chosen.use.items
    box, spent = host_of(chosen).box, host_of(chosen).ends[0].spent
    common = space.yard.runs.shared(items, box)[1]
    before = min(build.trunk.reach, common) if build.trunk else 0.0
    lacks = [
        space.yard.runs.missing(item, box, spent) - sum(p.reach for p in pieces)
        for item, pieces in zip(items, chosen.arms, strict=True)
    ]
    rooms = [arm.room - len(pieces) for arm, pieces in zip(build.arms, chosen.arms, strict=True)]
    first = 1 if build.trunk else 0
    above = [build.above(n) for n in range(len(items))]
    reach = [sum(build.splitters[k].reach for k in on) for on in above]
    if build.trunk:
        wants = max(lack - far for lack, far in zip(lacks, reach, strict=True))
        yield LeadPlace((build.trunk,), leads[0], items, wants, min(rooms) + 1)
    for k, piece in enumerate(build.splitters):
        mine = [n for n in range(len(items)) if k in above[n]]
        wants = max(lacks[n] - before - reach[n] + piece.reach for n in mine)
        on = tuple(items[n] for n in mine)
        yield LeadPlace((piece,), leads[first + k], on, wants, min(rooms[n] for n in mine) + 1)
    if len(build.splitters) > 1:
        room = min(room + len(on) for room, on in zip(rooms, above, strict=True))
        yield LeadPlace(build.splitters, leads[first], items, max(lacks) - before, room)
