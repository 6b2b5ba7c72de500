"""A label code is longer than a label can show.

What it looks for
    A code given with `code:` that has more characters than fit one line of the smallest
    label in letters that can be read.

Why it matters
    The code is broken or refused when the labels are printed, and a code that has to be made
    small is misread at the field.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {plug: rx.4, code: RUDDER SERVO IN THE TAIL}

The same, mended
    servos:
      rudder: {plug: rx.4, code: RUD, about: in the tail}

Where it comes from
    Our own limit of 11 characters: in capitals 2 mm high (the floor for human-readable marks in
    the summaries of MIL-STD-130) they take about 22 mm, and a label 25 mm wide leaves 23 mm.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.codes import codes_given


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each part whose longest code is over the limit."""
    limit = desk.figure("marking", "code-length")
    for part, codes in codes_given(desk.wiring):
        longest = max(codes, key=len)
        if len(longest) > limit.number:
            yield check.finding(
                f'the label code "{longest}" of {part.named()} has {len(longest)} characters; '
                f"a small label takes {limit.number:g}",
                part.at("code"),
                part,
                help="shorten the code; put the rest into `about`",
                numbers=(("most characters of a code", f"{limit.number:g}, {limit.origin}"),),
            )
