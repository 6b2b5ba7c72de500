"""Figures of a solved harness as documents: load, time line, equalising, endurance, tolerance.

Each is made as `Figures` and written by `render` as a text table, CSV, JSON or HTML.
"""

from __future__ import annotations

from harness.paper.sheet import Figures

FORMATS = ("table", "json", "csv", "html")


def render(figures: Figures, to: str) -> str:
    """Return a document as `table`, `csv`, `json` or `html`. Raises ValueError otherwise."""
    from harness.documents.figures.html import as_html
    from harness.documents.figures.machine import as_csv, as_json
    from harness.paper.table_text import as_table

    writers = {"table": as_table, "json": as_json, "csv": as_csv, "html": as_html}
    if to not in writers:
        raise ValueError(f'figures can be written as {", ".join(writers)}, not as "{to}"')
    return writers[to](figures)
