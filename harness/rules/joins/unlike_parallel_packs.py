"""Packs joined side by side are not alike.

What it looks for
    Packs in parallel of different cell count or chemistry, or whose volts, metered or by their
    stated charge, differ by more than the limit a cell. Packs of different capacity are noted:
    each gives its share.

Why it matters
    The fuller pack charges the emptier one through copper alone, at a current that only the packs'
    own resistance limits: volts apart over the resistance of both. One cell more is a short
    circuit.

An example that fails
    packs:
      front: {chemistry: lipo, cells: 3, capacity: 4 Ah, volts: 12.4 V}
      rear: {chemistry: lipo, cells: 3, capacity: 4 Ah, volts: 11.8 V}
    power-leads:
      both: {kind: parallel, supply: [front, rear]}

The same, mended
    packs:
      rear: {chemistry: lipo, cells: 3, capacity: 4 Ah, volts: 12.35 V}

Where it comes from
    Limits of 0.05 V and 0.1 V a cell: common practice; no published source. What a good new cell of
    that capacity and C rate resists: from memory, unless the plan states it. The current is solved
    with the copper between; where nothing is metered, Ohm's law over the packs alone.
"""

from __future__ import annotations

from itertools import combinations

from harness.base.finding import Finding, Numbers, Severity
from harness.electrics.packs import known_rest
from harness.facts.battery import charged_with, estimated, levels, pack_least
from harness.facts.shorts import shorts
from harness.facts.wording import amps, by_cells, parts_named, volts, volts_line, with_origin
from harness.parts.figure import Figure
from harness.parts.pack import Pack
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, Severity.ERROR, Severity.WARNING, Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report the worst pair of each parallel join."""
    seen = set()
    for level in levels(desk.wiring):
        packs = [pack for pack in level.packs if pack.plug is None]
        seen |= {pack.id for pack in packs} if len(packs) > 1 else set()
        packs.sort(key=lambda pack: _strength(desk, pack), reverse=True)
        found = [f for pair in combinations(packs, 2) for f in _pair(desk, *pair)]
        if found:
            yield max(found, key=lambda f: f.severity)
    for short in shorts(desk.wiring):
        if short.opposed and not seen & {pack.id for pack in short.packs}:
            yield _branches(short.volts, short.packs)


def _strength(desk: Desk, pack: Pack) -> tuple[int, float, float, str, str]:
    """The weaker of two packs is the one to mark."""
    rest = known_rest(desk.plan, pack)
    return (pack.cells, rest.number if rest else 0.0, pack.capacity or 0.0, pack.chemistry, pack.id)


def _pair(desk: Desk, one: Pack, other: Pack) -> Findings:
    if one.cells != other.cells or one.chemistry != other.chemistry:
        yield _other_kind(desk, one, other)
        return
    at = [known_rest(desk.plan, pack) for pack in (one, other)]
    for pack, rest in zip((one, other), at, strict=True):
        if rest is None:
            desk.not_known(pack, "its volts at rest as metered (volts)", "volts")
    if at[0] and at[1]:
        yield from _apart(desk, one, other, at[0], at[1])
    if one.capacity and other.capacity and one.capacity != other.capacity:
        yield check.finding(
            f"{parts_named([one, other])} are joined side by side with {one.capacity:g} and"
            f" {other.capacity:g} Ah: each gives current by its capacity, not half",
            other.at("capacity"),
            other,
            one,
            severity=Severity.NOTE,
            help="judge the C rate of the smaller one by its own share",
        )


def _other_kind(desk: Desk, one: Pack, other: Pack) -> Finding:
    cells = one.cells != other.cells
    words = " and ".join(f"{p.cells}S {p.chemistry}" for p in (one, other))
    gap, numbers = _flow(desk, one, other)
    return check.finding(
        f"{parts_named([one, other])} are joined side by side but are {words}{gap}",
        other.at("cells" if cells else "chemistry"),
        other,
        one,
        severity=Severity.DANGER if cells else Severity.ERROR,
        help="join side by side only packs of the same cell count and chemistry",
        numbers=numbers,
    )


def _flow(desk: Desk, one: Pack, other: Pack) -> tuple[str, Numbers]:
    """Say what current the difference drives, and the numbers of an estimate."""
    solved = _joined(desk, one, other)
    if solved is not None:
        return f": about {amps(solved)} flow from one to the other as they are joined", ()
    guess = estimated(desk.plan, one, other)
    if guess is None:
        return "", ()
    apart, much = volts(guess.apart.number), amps(guess.apart.number / guess.ohms.number)
    numbers = (volts_line("volts apart", guess.apart), _ohms("both packs", guess.ohms))
    return f": {apart} apart drive about {much} from one to the other", numbers


def _joined(desk: Desk, one: Pack, other: Pack) -> float | None:
    """Return what is solved; that it could not be is listed, and the packs alone then tell."""
    found = charged_with(desk.wiring, one, other)
    if not isinstance(found, Exception):
        return found
    desk.not_known(other, f"what flows with the leads as they are joined ({found.why})", "volts")
    return None


def _ohms(label: str, figure: Figure) -> tuple[str, str]:
    return label, with_origin(f"{figure.number * 1000:.3g} mohm", figure)


def _apart(desk: Desk, one: Pack, other: Pack, high: Figure, low: Figure) -> Findings:
    apart = round(abs(high.number - low.number), 6)
    warning, error = (desk.figure("parallel", word) for word in ("warning", "error"))
    each = round(apart / one.cells, 6)
    if each <= warning.number:
        return
    severe = each > error.number
    much, guess = _joined(desk, one, other), estimated(desk.plan, one, other)
    if much is None and guess is not None:
        much = guess.apart.number / guess.ohms.number
    flow = f", and about {amps(much)} flow as they are joined" if much is not None else ""
    ohms = [(pack.id, pack_least(desk.plan, pack)) for pack in (one, other)]
    yield check.finding(
        f"{parts_named([one, other])} are {volts(apart)} apart, {each:.3g} V a cell{flow}",
        other.at("charge" if other.volts is None else "volts"),
        other,
        one,
        severity=Severity.ERROR if severe else Severity.WARNING,
        help="charge both to the same volts before they are joined",
        numbers=(
            volts_line(one.id, high),
            volts_line(other.id, low),
            volts_line("limit a cell", error if severe else warning),
            *(_ohms(name, figure) for name, figure in ohms),
        ),
    )


def _branches(much: float, packs: tuple[Pack, ...]) -> Finding:
    late = min(packs, key=lambda p: (p.cells, p.id))
    return check.finding(
        f"{parts_named(packs)} stand side by side in stacks that are {volts(much)} apart: the"
        " higher stack drives a short circuit through the lower one",
        late.at("cells"),
        late,
        *packs,
        help="join side by side only stacks of the same cell count",
        numbers=(by_cells("apart", much),),
    )
