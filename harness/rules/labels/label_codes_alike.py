"""Two leads carry label codes that are the same, or that look the same.

What it looks for
    Codes given with `code:` to two parts that are equal, or that differ only in characters
    taken for one another: 0 and O, 1 and I, 5 and S, 8 and B, 2 and Z, 6 and G, capitals and
    small letters, or a hyphen. Codes that the program proposes are always unlike.

Why it matters
    The label is all that tells two leads apart once they are in the fuselage. With alike codes
    aileron and flap are swapped at the field, and nobody sees it before the take-off.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      aileron-left: {plug: rx.1, code: A-O1}
      flap-left: {plug: rx.2, code: A-01}

The same, mended
    servos:
      aileron-left: {plug: rx.1, code: A-1}
      flap-left: {plug: rx.2, code: F-1}

Where it comes from
    RFC 4648 section 3.4 for 0 and O, 1 and I (from memory). The other pairs, and a label of its
    own at each lead: common practice; no published source.
"""

from __future__ import annotations

from harness.base.code_words import looks
from harness.base.finding import Finding, Severity
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.codes import codes_given


@rule(Severity.WARNING, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each part once, at its code, against the part that had the code first."""
    seen: dict[str, tuple[Part, str]] = {}
    for part, codes in codes_given(desk.wiring):
        clashes = [(c, *seen[look]) for c in codes for look in sorted(looks(c)) if look in seen]
        if clashes:
            yield _finding(part, *min(clashes, key=lambda clash: clash[0] != clash[2]))
        for code in codes:
            for look in looks(code):
                seen.setdefault(look, (part, code))


def _finding(part: Part, code: str, other: Part, others: str) -> Finding:
    same = code == others
    how = (
        f'have the same label code "{code}"'
        if same
        else f'are labelled "{others}" and "{code}", which look alike'
    )
    return check.finding(
        f"the leads of {other.named()} and {part.named()} {how}",
        part.at("code"),
        part,
        other,
        severity=Severity.ERROR if same else Severity.WARNING,
        help="change one of the codes, or leave it out and take the one proposed",
    )
