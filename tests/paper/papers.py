"""Papers to write: one with every block, and an odd one."""

from __future__ import annotations

from harness.drawing.scene import Path, Scene, rect_path, text
from harness.paper.blocks import (
    BLANK,
    Chapter,
    Heading,
    Paper,
    Picture,
    Points,
    Say,
    Tick,
    Ticks,
    row_anchor,
)
from harness.paper.sheet import Cell, Column, Note, RowGroup, Table

SMALL = Scene(
    180.0, 90.0,
    (Path(rect_path(1, 1, 178, 88), stroke="#222222"), text(10, 30, "small drawing", 9.0)),
)  # fmt: skip
WIDE = Scene(
    900.0, 600.0,
    (Path(rect_path(1, 1, 898, 598), stroke="#222222"), text(30, 60, "wide drawing", 20.0)),
)  # fmt: skip
HIGH = Scene(400.0, 700.0, (text(30, 60, "high drawing", 20.0),))
COLUMNS = (
    Column("lead"), Column("what it is for, said at length"), Column("A", figures=True),
    Column("measured"), Column("done"),
)  # fmt: skip


def row(number: int) -> tuple[Cell, ...]:
    tone = {3: "danger", 5: "warning"}.get(number % 7, "")
    return (
        Cell(f"LEAD-{number}"), Cell(f"words about number {number} " * (number % 5)),
        Cell(f"{number * 0.37:.2f}", tone), Cell("mV", "blank"), BLANK,
    )  # fmt: skip


def step(number: int) -> Tick:
    return Tick(
        f"step-{number}", f"connect thing {number} and see that its pale wire is up " * 2,
        (f"detail {number}", f"another detail {number} " * 12), (f"AIL-{number}", f"THR-{number}"),
        SMALL if number % 2 else None,
        ((row_anchor("table", "LEAD-41"), f"lead of {number}"), ("nowhere", f"gone {number}")),
    )  # fmt: skip


TABLE = Table(
    "Loads of everything", COLUMNS,
    (RowGroup("", tuple(map(row, range(20)))),
     RowGroup("wing left", tuple(map(row, range(20, 70))))),
    "What the columns mean is said here.",
)  # fmt: skip
FULL = Paper(
    "Möwe 19: build book", "a twin for surveys", "0123abcd",
    (
        Chapter("cautions", "Before anything", (Say("Propellers off.", "caution"),)),
        Chapter("words", "Words", (
            Say("Plain words stand here. " * 30), Say("It would burn. " * 12, "danger"),
            Say("Change it.", "warning"), Say("All is well.", "ok"), Say("Small print.", "faint"),
            Heading("A heading inside", "inside"),
            Points((Cell("first point"), Cell("worse point", "danger"))),
            Note("Assumed, as the plan does not say", ("gauge 22 AWG", "  of one lead")),
            Note("Short", ("beside its title",)),
        )),
        Chapter("steps", "Steps", (Ticks(tuple(map(step, range(1, 16))), 5),)),
        Chapter("table", "Table", (TABLE,)),
        Chapter("drawings", "Drawings", (
            Picture(WIDE, "the wide one", "alt", whole=True), Picture(HIGH, "high", "", whole=True),
            Picture(SMALL, "the small one", "alt"),
        )),
        Chapter("nothing", "Empty", ()),
    ),
    ("Made from the plan.",),
)  # fmt: skip
