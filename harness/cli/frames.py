"""Findings and problems as text for people: a line that stands alone, then the code it means."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import counted, spoken
from harness.base.refusal import printable
from harness.base.span import Source, Span
from harness.cli.say import style
from harness.reading.problems import PlanError
from harness.rules.alike import told_once
from harness.rules.run import Report
from harness.rules.sockets.plug_not_placed import ASSIGN, OUT

TINT = {
    Severity.DANGER: "magenta",
    Severity.ERROR: "red",
    Severity.WARNING: "yellow",
    Severity.NOTE: "cyan",
}
UNRECORDED = ("lead-not-tested", "bec-not-metered")
"""Rules whose notes wait for the meter: they are one list, after all that is wrong."""
UNPLUGGED, FEW = "plug-not-placed", 2
"""More of this rule's findings than these are one list: what to do is what there is to read."""
SHOWN = re.compile(r" \(`plug: [^(){]*(\([^(){]*\))?\)")
"""How a socket that was just named is written: in that list its head tells it for all."""
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


def finding_lines(source: Source, finding: Finding, why: bool) -> Iterator[str]:
    """Yield one finding: what is wrong, what to do; with `why` its frames and its figures too."""
    word = finding.severity.word
    message = f"{printable(finding.message)} {style(f'[{finding.rule}]', dim=True)}"
    yield heading(source, finding.span, word, TINT[finding.severity], message)
    for span, note in ((finding.span, ""), *finding.also) if why else ():
        yield from (f"  {printable(note)}:",) if note else ()
        yield from frame(source, span)
    if finding.help:
        yield advice(finding.help)
    if why:
        for label, value in finding.numbers:
            yield f"  {style(printable(f'{label}: {value}'), dim=True)}"
        yield ""


def advice(help: str) -> str:
    """Return the line that says what to do."""
    return f"  {style('do:', bold=True)} {printable(help)}"


def report_lines(report: Report, why: bool = False) -> Iterator[str]:
    """Yield a whole report: findings worst first, what nobody has recorded, what is not known,
    what is accepted, a sum. With `why` each finding stands for itself, its figures with it.
    """
    source, findings = report.plan.source, report.findings
    name = printable(source.name)
    open_ = [] if why else [f for f in findings if _unrecorded(f)]
    judged = [f for f in findings if f not in open_]
    told = judged if why else told_once(report.plan, judged)
    loose = [] if why else [finding for finding in told if finding.rule == UNPLUGGED]
    loose = loose if len(loose) > FEW else []
    for finding in told:
        if finding not in loose:
            yield from finding_lines(source, finding, why)
    where = f"warning: the plan does not say where these plugs go (`plug:`); {ASSIGN} [{UNPLUGGED}]"
    yield from _listed(f"{name}: {where}", [_homeless(report, finding) for finding in loose])
    yield from _listed(f"{name}: not metered or stated yet", _by_deed(open_))
    yield from _listed(f"{name}: could not be judged for want of data", _gathered(report))
    if report.waiting:
        stands = spoken(fault.words for fault in report.first)
        verb = "stands" if len(report.first) == 1 else "stand"
        rules = [", ".join(report.waiting)]
        yield from _listed(f"{name}: not judged while {stands} {verb}", rules)
    for accepted in report.accepted:
        rule, because = accepted.finding.rule, accepted.because
        message = f"{accepted.finding.message} [{rule}], because {because}"
        yield f"{name}: accepted: {printable(message)}"
    more = "" if why or not any(f.numbers for f in findings) else "; --why gives the figures"
    yield f"{name}: {printable(summary(report))}{more}"


def _listed(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield style(title, bold=True)
        yield from (f"  {printable(line)}" for line in lines)


def _homeless(report: Report, finding: Finding) -> str:
    """Name what has a plug in no socket, its twins, and where it may go."""
    first, *twins = finding.parts
    of = f'circuit "{finding.spot}" of ' if finding.spot != "plug" else ""
    also = f" (and {', '.join(twins)})" if twins else ""
    help_ = SHOWN.sub("", finding.help.replace(f"; {ASSIGN}", "").replace(OUT, ""))
    return f"line {finding.span.line}, {of}{report.plan.parts[first].named()}{also}: {help_}"


def _unrecorded(finding: Finding) -> bool:
    """Say whether a note only asks for what was seen on the bench to be written down."""
    return finding.severity is Severity.NOTE and finding.rule in UNRECORDED


def _by_deed(notes: list[Finding]) -> list[str]:
    """Gather the notes that ask for the same: the parts with their lines, then what to do."""
    deeds: dict[tuple[str, str], list[str]] = {}
    for note in notes:
        part = f"{note.parts[0]} (line {note.span.line})"
        deeds.setdefault((note.help, note.rule), []).append(part)
    return [f"{', '.join(parts)}: {help} [{rule}]" for (help, rule), parts in deeds.items()]


def _gathered(report: Report) -> list[str]:
    """Name each missing fact once, with all the parts it is missing of and rules that wait."""
    rules: dict[str, dict[str, None]] = {}
    places: dict[str, dict[tuple[int, str], None]] = {}
    for item in sorted(report.unknown, key=lambda one: (one.span.line, one.part, one.missing)):
        rules.setdefault(item.missing, {})[item.rule] = None
        places.setdefault(item.missing, {})[item.span.line, item.part] = None
    return [
        f"{_at_lines(list(found))}: {missing} [{', '.join(sorted(rules[missing]))}]"
        for missing, found in places.items()
    ]


def _at_lines(places: list[tuple[int, str]]) -> str:
    """Return "line 3, rx", or "a (line 3), b (line 4)"."""
    if len(places) == 1:
        return "line {}, {}".format(*places[0])
    return ", ".join(f"{part} (line {line})" for line, part in places)


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
        facts = {(u.span.line, u.part, u.missing) for u in report.unknown}
        counts.append(f"{len(facts)} not known")
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
