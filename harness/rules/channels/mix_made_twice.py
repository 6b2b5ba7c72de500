"""A mix is made in the transmitter and in the autopilot too.

What it looks for
    A mix of the plan that says `made-in: both`.

Why it matters
    The second mixer takes the first one's output for a stick: throws double or cancel, and a
    V-tail or elevon may answer to one stick only.

An example that fails
    mixes:
      - {kind: elevon, made-in: both}

The same, mended
    mixes:
      - {kind: elevon, made-in: autopilot}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.signals import drives_for
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each mix once."""
    for mix in desk.plan.mixes:
        if mix.made_in == "both":
            wanted = {desk.plan.words.base(function) for function in mix.takes}
            yield check.finding(
                f"the mix {mix.kind} is made in the transmitter and in the autopilot: it would be"
                " mixed twice",
                mix.spans["made-in"],
                *(drive.part for drive in drives_for(desk.wiring, wanted)),
                help="make it in one place: `made-in: autopilot` and plain channels in the"
                " transmitter, or the other way round",
            )
