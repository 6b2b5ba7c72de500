"""The key to the drawings: what each picture on them stands for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from harness.drawing import glyphs_control as c
from harness.drawing import glyphs_power as p
from harness.drawing import look
from harness.drawing.glyph import Glyph, Tag
from harness.drawing.marks import flag, marker
from harness.drawing.ribbon import CONTROL, MOTOR, POWER, Gauge, RibbonWire, bend, ribbon
from harness.drawing.scene import Group, Item, Scene, bounds, moved_group, text

COLUMNS = 3
WIDE, HIGH = 168.0, 46.0  # of one entry, points; higher where its picture is
PICTURE = 88.0  # breadth of its picture
LENGTH = 56.0  # of the piece of a lead that is shown
THREE = (RibbonWire("WH"), RibbonWire("RD"), RibbonWire("BK"))
PULLED = (RibbonWire("WH"), RibbonWire("RD", "head"), RibbonWire("BK"))


def key_scene() -> Scene:
    """Return the key as a drawing of its own."""
    items: list[Item] = []
    entries = _entries()
    y = 0.0
    for start in range(0, len(entries), COLUMNS):
        row = entries[start : start + COLUMNS]
        high = max(HIGH, *(_height(picture) + 6 for picture, _ in row))
        for column, (picture, words) in enumerate(row):
            items += _entry(picture, words, (column * WIDE, y, high))
        y += high
    return Scene(COLUMNS * WIDE, y, tuple(items), "key", "what the pictures stand for")


def _height(picture: Group) -> float:
    _, top, _, low = bounds([picture])
    return low - top


def _entry(picture: Group, words: str, place: tuple[float, float, float]) -> list[Item]:
    """Return a picture with its words at the right, in the middle of (left, top, height)."""
    x, y, high = place
    left, top, right, low = bounds([picture])
    across = x + (PICTURE - (right - left)) / 2 - left
    down = y + (high - (low - top)) / 2 - top
    lines = look.wrapped(words, look.NAME, WIDE - PICTURE - 10)
    step = look.NAME * look.LEADING
    first = y + (high - step * len(lines)) / 2 + look.NAME
    said = [
        text(x + PICTURE + 8, first + step * n, line, look.NAME, fill=look.INK)
        for n, line in enumerate(lines)
    ]
    return [moved_group(picture, across, down), *said]


def _entries() -> Sequence[tuple[Group, str]]:
    parts = [(_plain(glyph, n), words) for n, (glyph, words) in enumerate(_parts())]
    leads = [(_lead(n, *lead), words) for n, (lead, words) in enumerate(LEADS)]
    marks = [(marker("key-finding", 1, "error"), "finding, by its number")]
    return [*parts, *leads, (flag("key-flag", "AIL-L", side="left").group,
                             "label; red edge left, green right"), *marks]  # fmt: skip


LEADS: tuple[tuple[tuple[tuple[RibbonWire, ...], Gauge], str], ...] = (
    ((THREE, CONTROL), "servo lead in its colours"),
    ((PULLED, CONTROL), "red pin pulled at the plug"),
    (((RibbonWire("RD"), RibbonWire("BK")), POWER), "battery wires"),
    (((RibbonWire("BK"),) * 3, MOTOR), "motor wires"),
)


def _lead(number: int, wires: tuple[RibbonWire, ...], gauge: Gauge) -> Group:
    return ribbon(f"key-lead-{number}", bend((0.0, 0.0), (LENGTH, 0.0)), wires, gauge=gauge)


def _parts() -> list[tuple[Glyph, str]]:
    tag = Tag("", "")
    sockets = (c.Socket("1"), c.Socket("2", used=False))
    return [
        (
            c.box(replace(tag, name="rx"), "receiver", right=sockets),
            "receiver: socket 1 taken, 2 free",
        ),
        (c.servo(tag), "servo"),
        (c.retract(tag), "retract leg"),
        (c.junction(tag, free={2}), "Y-lead, one way free"),
        (c.joint(tag), "plug in a socket"),
        (c.reverser(tag), "in-line reverser"),
        (p.esc(tag), "ESC"),
        (p.motor(tag), "motor"),
        (p.pack(tag, cells="3S", capacity="2 Ah"), "pack: cells and capacity"),
        (p.capacitor(tag), "capacitor"),
        (p.fuse(tag), "fuse"),
        (p.switch(tag), "switch"),
        (p.diode(tag), "diode"),
        (p.arming_plug(tag), "arming plug"),
        (c.light(tag), "light, camera, pump"),
    ]


def _plain(glyph: Glyph, number: int) -> Group:
    """Return a picture under an id of its own, without its empty name."""
    return replace(glyph.group, id=f"key-{number}")
