"""A linear BEC burns more heat than it can shed.

What it looks for
    A linear BEC or regulator that feeds a rail from too many cells: as rated up to two LiPo cells,
    half of it at three (between them as many amperes as make the heat of two), not at all at four
    and more. Heat = (full pack volts - output) * current.

Why it matters
    A linear BEC turns the surplus volts into heat: 3.4 W for each ampere at 2S, 11.8 W at 4S.
    It shuts down in flight, and the receiver with it.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4}
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {class: 9g-analogue, plug: rx.4}
    escs:
      esc: {bec: {kind: linear, volts: 5 V, rated: 2 A}, plug: rx.3, supply: main}

The same, mended
    escs:
      esc: {bec: {kind: switching, volts: 5 V, rated: 2 A}, plug: rx.3, supply: main}

Where it comes from
    Limits by cells: common practice; no published source. 4.2 V a full LiPo cell: PX4 user guide.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.electrics.supplies import barred, cells_volts, heat_share
from harness.facts.currents import over
from harness.facts.fed import put_right
from harness.facts.rails import name_of
from harness.facts.shorts import shorts
from harness.facts.supplied import Supply, battery_volts, linear_heat, supplies_of
from harness.facts.wording import amps, in_plan, volts, with_origin
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.live import TINY


@rule(Severity.DANGER, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each linear supply in use once."""
    if shorts(desk.wiring):
        return
    for supply in supplies_of(desk.wiring):
        bec, fed = supply.part.makes, battery_volts(desk.wiring, supply.part, "full")
        full = cells_volts(desk.plan, "cells-full-rating").number
        if bec is None or fed is None or fed <= full + TINY:
            continue
        if not bec.kind:
            missing = f"whether {supply.name} is linear ({supply.word('kind')})"
            desk.not_known(supply.part, missing, supply.key)
        elif bec.kind == "linear":
            yield from _judged(desk, supply, fed, bec.volts)


def _judged(desk: Desk, supply: Supply, fed: float, out: float) -> Findings:
    half, rated = cells_volts(desk.plan, "cells-half-rating"), supply.rated
    sound = put_right(desk.wiring)
    if barred(sound, supply.part):
        limit = with_origin(f"not used above {volts(half.number)}", half)
        words = "and is not to be used above three cells"
        yield _finding(supply, fed, out, limit, words, Severity.DANGER)
        return
    if rated is None:
        missing = f"what {supply.name} gives continuously ({supply.word('rated')})"
        desk.not_known(supply.part, missing, supply.key)
        return
    bears = rated.number * heat_share(sound, supply.part).number
    steady = supply.flow.steady
    if over(steady, bears) and not over(steady, rated.number):  # more than that is bec-load's
        limit = with_origin(amps(rated.number), rated)
        words = f"and so fed bears {amps(bears)} of its {amps(rated.number)}"
        yield _finding(supply, fed, out, limit, words, Severity.ERROR)


def _finding(
    supply: Supply, fed: float, out: float, limit: str, words: str, severity: Severity
) -> Finding:
    steady = supply.flow.steady
    each, whole = linear_heat(fed, out, 1.0), linear_heat(fed, out, steady)
    return check.finding(
        f"{name_of(supply.part)} is linear {words}: from {volts(fed)} it burns {each:.1f} W for"
        f" each ampere, {whole:.1f} W at the {amps(steady)} of what it feeds",
        supply.span("kind"),
        supply.part,
        severity=severity,
        help="pull its red pin and feed the receiver from a switching regulator"
        if supply.key
        else "put a switching regulator in its place",
        numbers=(
            ("pack full", f"{volts(fed)} (cells of the packs, catalogue packs)"),
            ("output", in_plan(volts(out), supply.span("volts"))),
            ("continuous current", f"{amps(steady)} ({supply.flow.steady_case})"),
            ("limit", limit),
        ),
    )
