"""Ends of leads that are not on the page: what lies beyond is named, nothing just stops."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.diagram.part_words import spoken_id
from harness.diagram.stages import FlaggedPart
from harness.drawing import look
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.scene import Group, Item, Path, line_path, rect_path, text

if TYPE_CHECKING:
    from harness.diagram.page_setting import Shared
    from harness.parts.part import Part
    from harness.wiring.build import Mate

HIGH = 15.0


def off_page(desk: Shared, mate: Mate, beyond: Part, *, at_right: bool) -> FlaggedPart:
    """A pill that names the part beyond, its socket, the label code and its page."""
    name = ".".join(mate.plug.id)
    is_plug = beyond is mate.plug.part
    words = spoken_id(beyond.id)
    if not is_plug and mate.socket is not None:
        words = f"{words} · {mate.socket.name}"
    page = desk.pages.get(beyond.id)
    code = desk.codes.get(mate.plug.id, "")
    extra = [code] if is_plug and code else []
    extra += [f"page {page}"] if page else []
    label = " · ".join([words, *extra])
    zone = desk.home(beyond)
    pill = _pill(f"beyond-{name}", label, points_right=at_right)
    return FlaggedPart(f"beyond-{name}", pill, zone, beyond.id)


def _pill(ident: str, label: str, *, points_right: bool) -> Glyph:
    """A dashed arrow-ended pill; the lead arrives at its flat end."""
    inner = text(0, 0, label, look.SMALL, fill=look.SOFT_INK)
    wide, tip = inner.width + 22, 7.0
    if points_right:
        shape = [(0, 0), (wide - tip, 0), (wide, HIGH / 2), (wide - tip, HIGH), (0, HIGH)]
        start, place = 7.0, GlyphPlace(0, HIGH / 2, "left")
    else:
        shape = [(wide, 0), (tip, 0), (0, HIGH / 2), (tip, HIGH), (wide, HIGH)]
        start, place = 14.0, GlyphPlace(wide, HIGH / 2, "right")
    items: tuple[Item, ...] = (
        Path(line_path(shape, closed=True), fill=look.PAPER, stroke=look.SOFT_INK, width=0.8,
             dash=(3.0, 2.0)),
        text(start, HIGH / 2 + 2.9, label, look.SMALL, fill=look.SOFT_INK),
    )  # fmt: skip
    group = Group(ident, items, ("beyond",), label)
    return Glyph(group, wide, HIGH, {"lead": place}, (wide - 2, 2))


def loose_end(mate: Mate) -> FlaggedPart:
    """Where a plug should go but nothing is: the socket as the plan names it, crossed out."""
    name = ".".join(mate.plug.id)
    label = f"{mate.join.into}: no such socket"
    inner = text(6, HIGH / 2 + 2.9, label, look.SMALL, fill=look.severity_text("error"))
    wide = inner.width + 12
    edge = look.severity_text("error")
    items: tuple[Item, ...] = (
        Path(rect_path(0, 0, wide, HIGH, 3), fill=look.PAPER, stroke=edge, dash=(3.0, 2.0)),
        inner,
    )
    group = Group(f"nowhere-{name}", items, ("nowhere",), label)
    glyph = Glyph(group, wide, HIGH, {"lead": GlyphPlace(wide, HIGH / 2, "right")}, (wide - 2, 2))
    return FlaggedPart(f"nowhere-{name}", glyph, "", mate.plug.part.id)
