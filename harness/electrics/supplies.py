"""What a BEC or regulator bears: as stated; a linear one less, by the volts it has to burn."""

from __future__ import annotations

from dataclasses import replace

from harness.electrics.packs import rest_volts
from harness.parts.contacts import Contact, LinkKind
from harness.parts.figure import Figure, from_catalogue
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.live import TINY
from harness.wiring.nets import Nets
from harness.wiring.ratings import Limit


@fact
def full_nets(wiring: Wiring) -> Nets:
    """Return the potentials with every pack full."""
    plan = wiring.plan
    packs = {pack.id: pack for pack in plan.of(Pack)}
    sources = (link for link in wiring.links if link.kind is LinkKind.SOURCE)
    return wiring.nets.fed_by(
        replace(link, volts=rest_volts(plan, packs[link.owner], 1.0))
        if link.owner in packs
        else link
        for link in sources
    )


def cells_volts(plan: Plan, key: str) -> Figure:
    """Return a limit of linear supplies in cells as the volts of full LiPo cells."""
    cell = from_catalogue(plan.catalogue, "packs", "lipo", "full")
    cells = from_catalogue(plan.catalogue, "regulators", "linear", key)
    assert cell is not None and cells is not None
    return cells * cell.number


def burning(wiring: Wiring, part: Part, key: str) -> float:
    """Return the volts by which the full pack of a linear supply is above a limit in cells."""
    bec = part.makes
    low, high = (Contact(part.id, "battery", pin) for pin in ("negative", "positive"))
    fed = full_nets(wiring).volts(low, high)
    if bec is None or bec.kind != "linear" or fed is None:
        return 0.0
    over = fed - cells_volts(wiring.plan, key).number
    return over if over > TINY else 0.0


def barred(wiring: Wiring, part: Part) -> bool:
    """Say whether a linear supply has so much to burn that it is not to be used at all."""
    return burning(wiring, part, "cells-half-rating") > 0


def heat_share(wiring: Wiring, part: Part) -> Figure:
    """Return the share of its rating that a supply gives for good: less when it burns the surplus.

    Common practice for a linear one: all of it up to two LiPo cells, half at three. Between them,
    and above, where it is not to be used, as many amperes as make no more heat than the rated
    ones at two; at least half between, at most half above.
    """
    bec, over = part.makes, burning(wiring, part, "cells-full-rating")
    if bec is None or not over:
        return Figure(1.0, "")
    most = cells_volts(wiring.plan, "cells-full-rating")
    spare = max(most.number - bec.volts, TINY)
    share = (min if barred(wiring, part) else max)(0.5, spare / (spare + over))
    return Figure(share, f"linear, above {most.number:.3g} V: {most.origin}")


def seconds_of(part: Part) -> Figure | None:
    """Return what a supply gives for seconds, A: its burst, or else no more than its rating."""
    bec = part.makes
    word = "burst" if bec is not None and bec.burst is not None else "rated"
    return said_of(part, word)


def said_of(part: Part, word: str) -> Figure | None:
    """Return what the plan says of a BEC or regulator, with its line; None where it does not."""
    bec = part.makes
    amount = getattr(bec, word, None)
    if bec is None or amount is None:
        return None
    return Figure(amount, f"plan line {bec.spans.get(word, bec.span).line}")


def supply_bears(wiring: Wiring, part: Part) -> dict[str, Limit]:
    """Return what a supply bears continuously (`steady`) and for seconds (`burst`), if known."""
    bec, found = part.makes, dict[str, Limit]()
    if bec is None:
        return found
    share, burst = heat_share(wiring, part), seconds_of(part)
    if rated := said_of(part, "rated"):
        origin = "; ".join(filter(None, (rated.origin, share.origin)))
        what = "as stated" if share.number == 1 else "linear, for its heat"
        found["steady"] = Limit(what, Figure(round(rated.number * share.number, 2), origin))
    if burst is not None:
        what = "as stated" if bec.burst is not None else "its rating: no burst is stated"
        found["burst"] = Limit(what, burst)
    return found
