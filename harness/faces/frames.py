"""Findings and problems as text for people: a line that stands alone, then the code it means."""

from __future__ import annotations

from harness.base.span import Source, Span


def frame(source: Source, span: Span) -> list[str]:
    """Return the line of the plan with a mark under the span, the line number in front."""
    text = source.line(span.line)
    if not text:
        return []
    number = str(span.line)
    start = max(0, span.column - 70)
    shown = text[start : start + 100]
    stop = span.end_column if span.end_line == span.line else len(text) + 1
    width = max(1, min(stop, start + 101) - span.column)
    lead = "".join("\t" if c == "\t" else " " for c in shown[: span.column - 1 - start])
    pad = " " * len(number)
    return [f"{number} | {shown}", f"{pad} | {lead}{'^' * width}"]
