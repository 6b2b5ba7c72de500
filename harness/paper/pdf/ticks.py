"""Steps as strips: a box to tick, number, words, label codes, and the small picture beside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from harness.drawing.scene import Scene, Text, walk
from harness.paper.blocks import Tick, Ticks
from harness.paper.pdf.marks import (
    BLACK,
    BODY,
    EDGE,
    LEADING,
    SOFT,
    TABLE,
    Drawn,
    Link,
    Mark,
    PageOf,
    Strip,
    Words,
    breadth,
    height_of,
    joined,
    lines_of,
    rect,
    rule,
)

BOX = 10.0  # the box to tick
LEFT = 44.0  # where the words begin
CHIP = 13.0  # height of a label code
ASIDE = 0.42  # share of the breadth that a picture beside the words may have
TALL = 150.0  # height that it may have
FLOOR = 6.6  # smallest text of a picture on paper, as in the drawings
LINE = BODY * LEADING
FINE = TABLE * LEADING


def tick_strips(block: Ticks, width: float, height: float, anchors: frozenset[str]) -> list[Strip]:
    """Return steps; one that is not higher than half a page stays whole."""
    found: list[Strip] = []
    for number, tick in enumerate(block.items, block.start):
        found += _tick(tick, number, width, height / 2, anchors)
    return found


def _tick(
    tick: Tick, number: int, width: float, limit: float, anchors: frozenset[str]
) -> list[Strip]:
    links = [link for link in tick.links if link[0] in anchors]
    plain = [text for anchor, text in tick.links if anchor not in anchors]
    beside = _beside(tick.picture, width) if tick.picture else None
    room = width - (beside.width + 10.0 if beside else 0.0)
    strips = _words(tick, number, room) + _details((*tick.details, *plain), room)
    strips += _links(links, room)
    if beside and height_of(strips) <= limit:
        strips = [_with_picture(joined(strips, limit)[0], beside)]
    elif tick.picture:
        strips.append(_under(tick.picture, width, limit))
    strips[-1] = _ended(strips[-1], width)
    found = joined([replace(strips[0], before=0.0), *strips[1:]], limit)
    return [replace(s, keep=n == 0 and len(found) > 1) for n, s in enumerate(found)]


def _words(tick: Tick, number: int, room: float) -> list[Strip]:
    """Box, number and words, with the codes under them."""
    lines = lines_of(tick.text, BODY, room - LEFT)
    label = str(number)
    right = LEFT - 6.0 - breadth(label, BODY, bold=True)
    marks: tuple[Mark, ...] = (
        replace(rect(1.0, 4.5, BOX, BOX, "#FFFFFF", BLACK), width=1.0),
        Words(right, 5.0 + BODY, label, bold=True),
    )
    found = []
    for n, line in enumerate(lines):
        top = 5.0 if n == 0 else 0.0
        own = marks if n == 0 else ()
        found.append(Strip(top + LINE, (*own, Words(LEFT, top + BODY, line))))
    return found + [_chips(row) for row in _rows(tick.codes, room)]


def _rows(codes: Iterable[str], room: float) -> list[list[tuple[float, str]]]:
    """Break label codes into rows of (x, text)."""
    rows: list[list[tuple[float, str]]] = []
    x = room
    pieces = [p for code in codes for p in lines_of(code, TABLE, room - LEFT - 12.0, bold=True)]
    for piece in pieces:
        wide = breadth(piece, TABLE, bold=True) + 12.0
        if x + wide > room:
            rows.append([])
            x = LEFT
        rows[-1].append((x, piece))
        x += wide
    return rows


def _chips(row: Sequence[tuple[float, str]]) -> Strip:
    marks: list[Mark] = []
    for x, text in row:
        wide = breadth(text, TABLE, bold=True) + 8.0
        marks.append(replace(rect(x, 1.5, wide, CHIP, "#FFFFFF", BLACK), width=0.7))
        marks.append(Words(x + 4.0, 1.5 + 9.4, text, TABLE, bold=True))
    return Strip(CHIP + 3.5, tuple(marks))


def _details(details: Iterable[str], room: float) -> list[Strip]:
    return [
        Strip(FINE, (Words(LEFT, TABLE, line, TABLE, colour=SOFT),))
        for detail in details
        for line in lines_of(detail, TABLE, room - LEFT)
    ]


def _links(links: Sequence[tuple[str, str]], room: float) -> list[Strip]:
    """Return one line a link, with the number of the page it leads to."""
    found = []
    for anchor, text in links:
        form, lines = ", page {}", lines_of(text, TABLE, room - LEFT - 60.0)
        for n, line in enumerate(lines):
            wide = breadth(line, TABLE)
            marks: list[Mark] = [
                Words(LEFT, TABLE, line, TABLE),
                rule(LEFT, TABLE + 1.6, LEFT + wide, EDGE),
                Link(LEFT, 0.0, wide, FINE, anchor),
            ]
            if n == len(lines) - 1:
                marks.append(PageOf(LEFT + wide, TABLE, anchor, form, size=TABLE))
            found.append(Strip(FINE, tuple(marks)))
    return found


def _beside(scene: Scene, width: float) -> Drawn | None:
    """Return the picture at the right, or nothing where its words would get too small."""
    scale = min(width * ASIDE / scene.width, TALL / scene.height, 1.0)
    sizes = [item.size for item in walk(scene.items) if isinstance(item, Text)]
    if sizes and min(sizes) * scale < FLOOR:
        return None
    wide = scene.width * scale
    return Drawn(scene, width - wide, 4.0, wide, scene.height * scale)


def _with_picture(words: Strip, picture: Drawn) -> Strip:
    high = max(words.height, picture.height + 6.0)
    return replace(words, height=high, marks=(*words.marks, picture))


def _under(scene: Scene, width: float, limit: float) -> Strip:
    scale = min((width - LEFT) / scene.width, limit * 0.8 / scene.height, 1.0)
    wide, high = scene.width * scale, scene.height * scale
    return Strip(high + 4.0, (Drawn(scene, LEFT, 2.0, wide, high),))


def _ended(strip: Strip, width: float) -> Strip:
    high = strip.height + 5.0
    return replace(strip, height=high, marks=(*strip.marks, rule(0.0, high, width)))
