"""Findings on a page: a marker on the very part, and the same number with its words below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness.base.data import dataclass, field
from harness.diagram.stages import PartsSheet
from harness.drawing.marks import Remark
from harness.rules.run import Report


@dataclass(frozen=True)
class Numbered(Remark):
    """A finding with its number, the same on every page: a line of the legend, and its parts."""

    parts: tuple[str, ...]
    spot: str = ""


@dataclass(frozen=True)
class Marks:
    """What a drawing marks in place of the findings of its plan.

    `halos` are tints of pieces and strands by id; `view` the words of the title, `file` the stem
    of the file's name, `listed` what a page with only words is called, `note` a line of the title.
    """

    found: tuple[Numbered, ...]
    halos: Mapping[str, str] = field(default_factory=dict)
    view: str = ""
    file: str = ""
    listed: str = "findings"
    note: str = ""


def numbered(report: Report) -> tuple[Numbered, ...]:
    """Number the findings, then what the plan accepts."""
    found: list[Numbered] = []
    for f in report.findings:
        words = f"{f.severity.word}: {f.message}" + (f"; {f.help}" if f.help else "")
        found.append(Numbered(len(found) + 1, f.severity.word, words, f.parts, f.spot))  # type: ignore[arg-type]
    for a in report.accepted:
        words = f"accepted: {a.finding.message}; because {a.because}"
        found.append(Numbered(len(found) + 1, "ok", words, a.finding.parts, a.finding.spot))
    return tuple(found)


def missing_facts(report: Report) -> str:
    """Return how many facts the rules lack and where they are listed; nothing for none."""
    count = len({(unknown.part, unknown.missing) for unknown in report.unknown})
    words = "1 fact missing: harness check names it"
    return words if count == 1 else f"{count} facts missing: harness check names them" * bool(count)


def on_sheet(found: Sequence[Numbered], sheet: PartsSheet, *, first: bool) -> list[Numbered]:
    """Return the findings of one page; those about no drawn part stand on the first."""
    return [n for n in found if anchor_piece(n, sheet) or (first and not n.parts)]


def anchor_piece(finding: Numbered, sheet: PartsSheet) -> str:
    """Return the piece that carries a finding's marker, or "" when it is not on the page."""
    for part in finding.parts:
        piece = sheet.homes.get(part, f"part-{part}")
        if piece in sheet.pieces:
            return piece
    return ""
