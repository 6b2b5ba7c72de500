"""A page of figures as GitHub Markdown."""

from __future__ import annotations

import re

from harness.paper.markdown import as_markdown
from harness.paper.sheet import Cell, Column, FigureSheet, Note, RowGroup, Table

ROWS = ((Cell("a|b"), Cell("1")), (Cell("two\nlines"), Cell("<2>")))
TABLE = Table("Rail", (Column("part"), Column("volts", True)), (RowGroup("gear", ROWS),), "In *V*.")
SHEET = FigureSheet(
    "Möwe", "01ab", (Cell("so it is", "ok"),), (TABLE,), (Note("Why", ("so",)),), ("End.",)
)
WANTED = r"""# Möwe

Plan revision 01ab

- so it is

## Rail

| part | volts |
| --- | ---: |
| **gear** |  |
| a\|b | 1 |
| two<br>lines | &lt;2&gt; |

In \*V\*.

## Why

- so

End.
"""


def test_all_of_a_page_is_written() -> None:
    assert as_markdown(SHEET) == WANTED


def test_every_row_has_as_many_cells_as_the_head() -> None:
    """GFM, tables: the header row must match the delimiter row in the number of cells."""
    table = [line for line in as_markdown(SHEET).split("\n") if line.startswith("|")]
    assert {len(re.findall(r"(?<!\\)\|", line)) for line in table} == {3}
