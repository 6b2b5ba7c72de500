"""The index of a plan's documents: one page that opens in any browser, without a network."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from pathlib import PurePath

from harness.base.colours import STATUS, to_hex
from harness.base.finding import Finding
from harness.checks.run import Report
from harness.documents.cautions import CAUTIONS
from harness.documents.forms import html_page

STYLE = """
body { font: 16px/1.5 "DejaVu Sans", Verdana, sans-serif; color: #1f2933; background: #fff;
  margin: 0 auto; max-width: 62rem; padding: 1rem 1.25rem 3rem; }
h1 { font-size: 1.7rem; margin: 0.5rem 0 0; } h2 { font-size: 1.15rem; margin: 2rem 0 0.5rem; }
p.revision { color: #52606d; margin: 0; }
img { width: 100%; height: auto; border: 1px solid #cbd2d9; border-radius: 8px; }
ul { padding-left: 1.2rem; } a { color: #0b5394; }
li.finding { list-style: none; margin: 0 0 0.75rem -1.2rem; padding: 0.5rem 0.75rem;
  border-left: 6px solid; background: #f5f7fa; }
.severity { font-weight: bold; } .do { display: block; } .where { color: #52606d; }
@media print { a { color: inherit; text-decoration: none; } }
"""


@dataclass(frozen=True, slots=True)
class Document:
    """One document that was made: its file's name and what it is for."""

    file: str
    title: str


def index_page(report: Report, documents: Iterable[Document], pictures: Iterable[Document]) -> str:
    """Return the index as HTML: pictures, findings, what is not known, documents, cautions."""
    plan = report.plan
    body = [
        f"<h1>{escape(plan.aircraft)}</h1>",
        f"<p>{escape(plan.about)}</p>" if plan.about else "",
        f'<p class="revision">plan revision {plan.revision}, {len(plan.parts)} parts, '
        f"from {escape(PurePath(plan.source.name).name)}</p>",
        *(_picture(picture) for picture in pictures),
        "<h2>Findings</h2>",
        _findings(report),
        *_open_questions(report),
        "<h2>Documents</h2>",
        "<ul>",
        *(f'<li><a href="{escape(d.file)}">{escape(d.title)}</a></li>' for d in documents),
        "</ul>",
        "<h2>Before you connect anything</h2>",
        "<ul>",
        *(f"<li>{escape(text)}</li>" for text in CAUTIONS),
        "</ul>",
    ]
    text = "\n".join(line for line in body if line)
    return html_page(f"{plan.aircraft}: wiring", STYLE, text)


def _picture(picture: Document) -> str:
    file, title = escape(picture.file), escape(picture.title)
    return f'<p><a href="{file}"><img src="{file}" alt="{title}"></a></p>'


def _findings(report: Report) -> str:
    if not report.findings and not report.accepted:
        return "<p>No findings.</p>"
    items = [_finding(f, "") for f in report.findings]
    items += [_finding(a.finding, a.because) for a in report.accepted]
    return "<ul>\n" + "\n".join(items) + "\n</ul>"


def _finding(finding: Finding, because: str) -> str:
    status = STATUS[finding.severity.word]
    help_ = f'<span class="do">{escape(finding.help)}</span>' if finding.help else ""
    accepted = f'<span class="do">Accepted: {escape(because)}</span>' if because else ""
    return (
        f'<li class="finding" style="border-color: {to_hex(status.fill)}">'
        f'<span class="severity">{finding.severity.word}:</span> {escape(finding.message)} '
        f'<span class="where">({finding.rule}, line {finding.span.line})</span>'
        f"{help_}{accepted}</li>"
    )


def _open_questions(report: Report) -> list[str]:
    if not report.unknown:
        return []
    facts = sorted({(u.span.line, u.part, u.missing) for u in report.unknown})
    lines = [f"<li>{escape(part)}: {escape(what)} (line {n})</li>" for n, part, what in facts]
    return ["<h2>Could not be judged for want of data</h2>", "<ul>", *lines, "</ul>"]
