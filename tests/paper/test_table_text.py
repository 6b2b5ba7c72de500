"""Tables and pages of figures as text for a terminal."""

from __future__ import annotations

from harness.paper.blocks import BLANK
from harness.paper.sheet import Cell, FigureSheet, Note, amounts, grouped, headings
from harness.paper.text import sheet_text, table_lines

TABLE = grouped(
    "Rail", headings("part", *amounts("volts"), "seen"),
    [("", [("rx\nin the nose", "5.0", BLANK)]),
     ("gear", [("door-left-ext", "12.25", Cell("V", "blank"))])],
    "In V.",
)  # fmt: skip
WANTED = """\
Rail
part           volts  seen
-------------  -----  ----
rx               5.0  ___
in the nose
gear:
door-left-ext  12.25  ___ V
-------------  -----  ----
In V.
"""


def test_a_cell_of_several_lines_has_each_on_a_line_of_its_own() -> None:
    assert "\n".join(table_lines(TABLE, 60)) + "\n" == WANTED


def test_a_page_says_title_sentences_tables_notes_and_foot() -> None:
    note = Note("Why", ("so", "  for this"))
    sheet = FigureSheet("Möwe: load", "01ab", (Cell("→ 5 °C"),), (TABLE,), (note,), ("End.",))
    head, foot = (
        "Möwe: load, plan revision 01ab\n- -> 5 C\n\n",
        "\nWhy:\n  so\n    for this\n\nEnd.\n",
    )
    assert sheet_text(sheet) == head + WANTED + foot
