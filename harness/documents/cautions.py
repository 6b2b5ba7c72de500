"""The cautions every document carries. They point at texts; they do not replace them."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Severity
from harness.base.near import capital, counted
from harness.facts.mend_first import warning_words
from harness.facts.motion import turning
from harness.paper.blocks import Say
from harness.plan.plan import Plan
from harness.rules.run import Report

CHARGING = (
    "Charge lithium packs attended, on a surface that does not burn, at 0 to 40 °C; a pack that is "
    "swollen, dented or was shorted is not used again."
)
METERED = "Meter every BEC and every Y-lead before the receiver sees it."
MAKERS = (
    "The makers' instructions and your local rules come first. This plan was computed from what "
    "was written into it; it does not replace a meter, a second pair of eyes or your judgement."
)
CAUTIONS = (
    CHARGING,
    "Make the first power-up through a 3 A fuse or a limited supply, the transmitter on first.",
    METERED,
    "Set the failsafe so that the motors stop; check it, the range and the direction of every "
    "surface before each first flight and whenever the wings have been off.",
    MAKERS,
)
"""Common practice, after the safety pages of the open autopilots' documentation."""


def armed(plan: Plan) -> str:
    """Return the first caution of all, in the words of what turns on a plan."""
    order = capital(turning(plan).order)
    every = "for every test on the bench that does not say otherwise"
    return f"{order} {every}; treat a connected pack as armed."


def cautions(plan: Plan) -> tuple[str, ...]:
    """Return every caution of a plan's documents."""
    return (armed(plan), *CAUTIONS)


def sentence(words: str) -> str:
    """Return words as a sentence, "" for none."""
    return f"{capital(words)}." if words else ""


def faults_text(report: Report) -> str:
    """Say how many findings, none that is accepted, must be mended before building; "" for none."""
    grave = [f.severity for f in report.findings if f.severity >= Severity.ERROR]
    dangers = grave.count(Severity.DANGER)
    errors = len(grave) - dangers
    pieces = [f"{counted(dangers, 'finding')} that would burn or crash"] if dangers else []
    pieces += [counted(errors, "error")] if errors else []
    them = "it" if len(grave) == 1 else "these"
    said = f"`harness check` has {', '.join(pieces)}: mend {them} first." if pieces else ""
    return " ".join(filter(None, (said, sentence(warning_words(report.wiring)))))


def faults_first(report: Report) -> Iterator[Say]:
    """Yield the sentence that a document to build or power from begins with."""
    words = faults_text(report)
    if words:
        yield Say(words, "danger")
