"""The leads of a run are too short for their way, or leave no slack.

What it looks for
    The way of each run through the airframe, from its part to the box it ends in, where the plan
    states positions or ducts with a length. All leads of the run together must be as long as
    that way: shorter is an error. Slack is asked for on top: a tenth of the way, 100 mm past each
    hatch and each joint that comes off, 30 mm at a servo or retract leg. Where a plug says in
    which place it is made, the leads on either side must reach that place.

Why it matters
    A lead without slack pulls at its plugs whenever the wing moves, and cannot be plugged in with
    the wing a hand's breadth away. One that does not reach is found out at the field, or after
    the skin is on.

An example that fails
    places:
      fuselage: {at: 400 mm}
      wing-left: {joins: fuselage, side: left, at: {aft: 400 mm, out: 500 mm}}
    receivers:
      rx: {sockets: 6, place: fuselage}
    servos:
      aileron: {class: 9g-analogue, place: wing-left, moves: aileron, length: 250 mm, plug: ext.1}
    leads:
      ext: {kind: extension, plug: rx.1, length: 200 mm}

The same, mended
    leads:
      ext: {kind: extension, plug: rx.1, length: 450 mm}

Where it comes from
    Common practice: 50 to 100 mm past the edge of a hatch or wing joint, 20 to 30 mm at a servo,
    5 to 10 % on computed runs; no published source. The larger figures count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness.airframe.lengths import LengthNeed, MeasuredRun, Plug
from harness.airframe.runs import RunPiece, called
from harness.airframe.stock import EVEN, next_stock
from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.airframe import measured_plugs
from harness.facts.wording import verb
from harness.parts.contacts import Form
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each run once; what is missing where the plan began to state positions."""
    for measured, plugs in measured_plugs(desk.wiring):
        for what in measured.missing:
            desk.not_known(measured.run.device, f"{what}, for the length of its lead")
        if measured.verdict in {"short", "tight"} and measured.need is not None:
            yield _finding(desk, measured, measured.need)
        elif measured.verdict == "open" and measured.run.plugged:
            _open(desk, measured)
        yield from (_out_of_reach(measured, plug) for plug in plugs if plug.off)


def _open(desk: Desk, measured: MeasuredRun) -> None:
    """A lead of unknown length is no question where nothing is asked of it."""
    if measured.need and measured.need.needed > measured.known + EVEN:
        for piece in measured.unmeasured:
            if piece.key:
                desk.not_known(piece.part, f"the length of its lead ({piece.key})")


def _finding(desk: Desk, measured: MeasuredRun, need: LengthNeed) -> Finding:
    run = measured.run
    have = measured.have or 0.0
    short = measured.verdict == "short"
    if short:
        but = f"but the way is {_mm(need.way.length)} long, without any slack"
    else:
        least = "" if have >= need.least - EVEN else f", at the least {_mm(need.least)}"
        but = f"and with its slack the way asks for {_mm(need.needed)}{least}"
    return check.finding(
        f"{spoken(called(piece) for piece in run.pieces)}: {_mm(have)} from {run.device.named()} to"
        f" {run.host.named() if run.host else ''}, {but}",
        _span(measured),
        run.device,
        *(piece.part for piece in run.pieces),
        severity=Severity.ERROR if short else Severity.WARNING,
        help=_help(desk, measured, need.needed - have),
        numbers=(*_numbers(measured), *_slack(need)),
    )


def _mm(length: float) -> str:
    return f"{round(length, 1):g} mm"


def _span(measured: MeasuredRun) -> Span:
    """The lead between that is the longest states the length to change; else the part's own."""
    pieces = [p for p in measured.run.pieces if p.part.carries_signal and p.length]
    longest = max(pieces, key=lambda p: p.length.number if p.length else 0.0, default=None)
    piece = longest or measured.run.pieces[0]
    return piece.part.at(piece.key)


def _help(desk: Desk, measured: MeasuredRun, extra: float) -> str:
    places = measured.need.places if measured.need else ()
    lies = f"it lies {'by way of' if len(places) > 1 else 'inside'} {spoken(places)}"
    if measured.run.form is not Form.THREE_PIN:
        return f"{lies}: {_wires(measured, extra)}"
    return f"{lies} and wants {_mm(extra)} more: {_longer(desk, measured, extra)}"


def _wires(measured: MeasuredRun, extra: float) -> str:
    """What came fitted is not cut; long battery wires want capacitors at the ESC."""
    run = measured.run
    made = any(piece.part.as_made for piece in run.pieces)
    ways = ["better bring the ESC nearer and lengthen the motor wires"]
    ways = ways if run.form is Form.POWER and not run.device.stays_put else []
    ways.append(
        f"put an extension of {_mm(extra)} between"
        if made
        else f"make its wires {_mm(extra)} longer"
    )
    if not (run.device.stays_put and (run.host is None or run.host.stays_put)):
        ways.append("move the parts together")
    return ", or ".join(ways)


def _longer(desk: Desk, measured: MeasuredRun, extra: float) -> str:
    """A longer lead in place of one that is there makes no new joint; else an extension."""
    from harness.airframe.buy import swap_for

    if swap := swap_for(desk.plan, measured, extra):
        return f'put one of {_mm(swap[1])} in place of "{swap[0]}"'
    stock = next_stock(desk.plan, extra)
    more = f"an extension of {_mm(stock)}" if stock else "a longer lead"
    return f"put {more} between, of wire as thick"


def _numbers(measured: MeasuredRun) -> Iterator[tuple[str, str]]:
    for piece in measured.run.pieces:
        if piece.length:
            yield called(piece), f"{_mm(piece.length.number)}, {piece.length.origin}"
    if measured.need:
        stops = " to ".join(measured.need.places)
        yield "way", f"{_mm(measured.need.way.length)}, {stops}"


def _slack(need: LengthNeed) -> Iterator[tuple[str, str]]:
    for slack in need.slack:
        yield f"slack, {slack.why}", f"{_mm(slack.cautious)}, {slack.origin}"


def _out_of_reach(measured: MeasuredRun, plug: Plug) -> Finding:
    pieces = measured.run.pieces
    at = measured.run.mates.index(plug.mate)
    side = pieces[: at + 1] if plug.off < 0 else pieces[at + 1 :]
    end = measured.run.device if plug.off < 0 else measured.run.host
    place, own = plug.mate.join.made_in, plug.mate.plug.part
    return check.finding(
        f"{spoken(called(piece) for piece in side)} {verb(side, 'does', 'do')} not reach from"
        f' {end.named() if end else "its end"} to place "{place}", where {own.named()} is to be '
        f"plugged in: {_mm(abs(plug.off))} are wanting",
        plug.mate.join.spans.get("in", plug.mate.span),
        own,
        *(piece.part for piece in side),
        help=f'{_side(side)}, or make the plug in another place than "{place}"',
        numbers=tuple(_numbers(measured)),
    )


def _side(side: Sequence[RunPiece]) -> str:
    made = all(piece.part.as_made for piece in side)
    return "put an extension on that side" if made else "make the leads on that side longer"
