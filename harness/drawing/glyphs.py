"""All part pictures in one place."""

from harness.drawing.glyph import Glyph, GlyphPlace, Tag
from harness.drawing.glyphs_boxes import Socket, box, receiver
from harness.drawing.glyphs_control import (
    joint,
    junction,
    light,
    retract,
    reverser,
    sensor,
    servo,
    wing_plug,
)
from harness.drawing.glyphs_power import (
    arming_plug,
    capacitor,
    connector,
    diode,
    esc,
    fuse,
    motor,
    pack,
    power_junction,
    switch,
)
from harness.drawing.layout_model import Rect
from harness.drawing.marks import Remark, flag, legend, marker, title_block, zone

__all__ = [
    "Glyph",
    "GlyphPlace",
    "Rect",
    "Remark",
    "Socket",
    "Tag",
    "arming_plug",
    "box",
    "capacitor",
    "connector",
    "diode",
    "esc",
    "flag",
    "fuse",
    "joint",
    "junction",
    "legend",
    "light",
    "marker",
    "motor",
    "pack",
    "power_junction",
    "receiver",
    "retract",
    "reverser",
    "sensor",
    "servo",
    "switch",
    "title_block",
    "wing_plug",
    "zone",
]
