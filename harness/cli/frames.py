"""Findings and problems as text for people: a line that stands alone, then the code it means."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import counted, spoken
from harness.base.span import Source, Span
from harness.cli.say import printable, style
from harness.reading.problems import PlanError
from harness.rules.run import Report

TINT = {
    Severity.DANGER: "magenta",
    Severity.ERROR: "red",
    Severity.WARNING: "yellow",
    Severity.NOTE: "cyan",
}
WIDEST = 94
"""Columns of a plan's line that a frame shows."""
MOST_PROBLEMS = 50
"""More would scroll the first, which may be the cause of the others, out of sight."""


def frame(source: Source, span: Span) -> list[str]:
    """Return the line of the plan with a mark under the span, the line number in front."""
    text = source.line(span.line)
    if not text:
        return []
    start = max(0, span.column - 70)
    shown = "".join(c if c.isprintable() or c == "\t" else "." for c in text[start:][:WIDEST])
    stop = span.end_column if span.end_line == span.line else len(text) + 1
    marked = shown[span.column - 1 - start : stop - 1 - start]
    lead = "".join(_blank(c) for c in shown[: span.column - 1 - start])
    mark = "^" * max(1, sum(len(_blank(c)) for c in marked))
    before, after = "..." * (start > 0), "..." * (start + WIDEST < len(text))
    pad = " " * len(str(span.line))
    return [f"  {span.line} | {before}{shown}{after}", f"  {pad} | {' ' * len(before)}{lead}{mark}"]


def _blank(sign: str) -> str:
    """Return as much room as a sign takes in a terminal (Unicode Standard Annex 11)."""
    if sign == "\t":
        return sign
    return " " * (2 if unicodedata.east_asian_width(sign) in "WF" else 1)


def heading(source: Source, span: Span, word: str, tint: str, message: str) -> str:
    """Return `file:line:column: severity: message`."""
    place = style(f"{printable(source.name)}:{span.line}:{span.column}:", bold=True)
    return f"{place} {style(word, tint=tint, bold=True)}: {message}"


def finding_lines(source: Source, finding: Finding) -> Iterator[str]:
    """Yield one finding: its line, its frame, what to do, the numbers and their origin."""
    word = finding.severity.word
    message = f"{printable(finding.message)} {style(f'[{finding.rule}]', dim=True)}"
    yield heading(source, finding.span, word, TINT[finding.severity], message)
    yield from frame(source, finding.span)
    for span, note in finding.also:
        yield f"  {printable(note)}:"
        yield from frame(source, span)
    if finding.help:
        yield advice(finding.help)
    for label, value in finding.numbers:
        yield f"  {style(printable(f'{label}: {value}'), dim=True)}"


def advice(help: str) -> str:
    """Return the line that says what to do."""
    return f"  {style('do:', bold=True)} {printable(help)}"


def report_lines(report: Report) -> Iterator[str]:
    """Yield a whole report: findings worst first, what is not known, what is accepted, a sum."""
    source = report.plan.source
    name = printable(source.name)
    for finding in report.findings:
        yield from finding_lines(source, finding)
        yield ""
    if report.unknown:
        yield style(f"{name}: could not be judged for want of data", bold=True)
        for part, line, missing in _gathered(report):
            yield printable(f"  line {line}, {part}: {missing}")
        yield ""
    if report.waiting:
        stands = spoken(fault.words for fault in report.first)
        verb = "stands" if len(report.first) == 1 else "stand"
        yield style(f"{name}: not judged while {stands} {verb}", bold=True)
        yield f"  {', '.join(report.waiting)}"
        yield ""
    for accepted in report.accepted:
        rule, because = accepted.finding.rule, accepted.because
        message = f"{accepted.finding.message} [{rule}], because {because}"
        yield f"{name}: accepted: {printable(message)}"
    yield f"{name}: {printable(summary(report))}"


def _gathered(report: Report) -> list[tuple[str, int, str]]:
    """Name each missing fact once, with all the rules that wait for it."""
    rules: dict[tuple[int, str, str], list[str]] = {}
    for item in report.unknown:
        rules.setdefault((item.span.line, item.part, item.missing), []).append(item.rule)
    return [
        (part, line, f"{missing} [{', '.join(sorted(set(names)))}]")
        for (line, part, missing), names in sorted(rules.items())
    ]


def summary(report: Report) -> str:
    """Return "1 danger, 2 errors, 3 not known, 1 accepted", or that nothing was found."""
    counts = []
    for severity in sorted(Severity, reverse=True):
        count = sum(f.severity is severity for f in report.findings)
        if count:
            counts.append(counted(count, severity.word))
    if not counts:
        counts.append("no findings")
    if report.unknown:
        counts.append(f"{len(_gathered(report))} not known")
    if report.accepted:
        counts.append(f"{len(report.accepted)} accepted")
    parts = counted(len(report.plan.parts), "part")
    return f"{report.plan.aircraft}, {parts}: {', '.join(counts)}"


def problem_lines(error: PlanError) -> Iterator[str]:
    """Yield what keeps a plan from being understood."""
    for problem in error.problems[:MOST_PROBLEMS]:
        message = printable(problem.message)
        yield heading(error.source, problem.span, "not understood", "red", message)
        yield from frame(error.source, problem.span)
        if problem.help:
            yield advice(problem.help)
    more = len(error.problems) - MOST_PROBLEMS
    if more > 0:
        yield f"{printable(error.source.name)}: {more} more places are not understood"
