"""A node's ports as an HTML-like table of empty cells, each port cell exactly at its place.

Cells are whole points; the caller moves the drawn ends the last fraction of a point.
"""

from collections.abc import Sequence
from math import ceil

from harness.drawing.layout_model import LayoutError, LayoutNode, Side

STRIP = 2  # thickness of a rim strip and length of a port cell, points
TABLE = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{}</TABLE>'
Place = tuple[int, float]  # number of the port, distance along its side


def port_table(node: LayoutNode) -> str:
    """The label, in Graphviz's angle brackets; raises LayoutError for crowded ports."""
    wide, high = ceil(node.width), ceil(node.height)
    top, bottom = _places(node, "top"), _places(node, "bottom")
    left, right = _places(node, "left"), _places(node, "right")
    above = STRIP if top else 0
    tall = high - above - (STRIP if bottom else 0)
    middle = wide - STRIP * (bool(left) + bool(right))
    cells = _nest(_down(left, tall, above), tall) if left else ""
    cells += _cell(middle, tall)
    cells += _nest(_down(right, tall, above), tall) if right else ""
    rows = f"<TR><TD>{_across(top, wide)}</TD></TR>" if top else ""
    rows += f"<TR><TD>{TABLE.format(f'<TR>{cells}</TR>')}</TD></TR>"
    rows += f"<TR><TD>{_across(bottom, wide)}</TD></TR>" if bottom else ""
    return f"<{TABLE.format(rows)}>"


def _places(node: LayoutNode, side: Side) -> list[Place]:
    upright = side in ("left", "right")
    found = [(i, p.y if upright else p.x) for i, p in enumerate(node.ports) if p.side == side]
    return sorted(found, key=lambda place: place[1])


def _lengths(places: Sequence[Place], total: int, start: int) -> list[tuple[str, int]]:
    """Cells along a strip: (port name or nothing, length)."""
    cells: list[tuple[str, int]] = []
    done = 0
    for number, distance in places:
        begin = round(distance) - start - STRIP // 2
        begin = min(max(begin, done), total - STRIP)
        if begin < done:
            raise LayoutError("more ports on one side of a part than it has room for")
        cells += [("", begin - done), (f"p{number}", STRIP)]
        done = begin + STRIP
    return [cell for cell in (*cells, ("", total - done)) if cell[1]]


def _down(places: Sequence[Place], total: int, start: int) -> str:
    cells = _lengths(places, total, start)
    return TABLE.format("".join(f"<TR>{_cell(STRIP, size, name)}</TR>" for name, size in cells))


def _across(places: Sequence[Place], total: int) -> str:
    cells = _lengths(places, total, 0)
    return TABLE.format(f"<TR>{''.join(_cell(size, STRIP, name) for name, size in cells)}</TR>")


def _nest(table: str, tall: int) -> str:
    return f'<TD FIXEDSIZE="TRUE" WIDTH="{STRIP}" HEIGHT="{tall}">{table}</TD>'


def _cell(wide: int, high: int, port: str = "") -> str:
    name = f' PORT="{port}"' if port else ""
    return f'<TD{name} FIXEDSIZE="TRUE" WIDTH="{wide}" HEIGHT="{high}"></TD>'
