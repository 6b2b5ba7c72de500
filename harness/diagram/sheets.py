"""From a cut of the wiring to a sheet: every part's picture, every mate's strand.

Where a lead leaves the page, what lies beyond is named: nothing just stops.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from harness.base.data import replace
from harness.diagram.flagged_parts import (
    beside,
    captioned,
    doubled,
    in_a_row,
    with_flags,
    with_pills,
)
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.page_setting import PageSetting
from harness.diagram.part_words import spoken_id
from harness.diagram.pictures import laid_on
from harness.diagram.stacks import under
from harness.diagram.stages import DrawnLead, Extract, FlaggedPart, PartsSheet, PortId
from harness.drawing import look
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.marks import note
from harness.drawing.scene import Group, Path, line_path, rect_path, text
from harness.facts.of_leads import pulled_words
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Mate

HIGH = 15.0  # of the end of a lead that leaves the page, points
LINE = 10.0  # more for a second line


class SheetBuilder:
    """Draws every part and every mate of a cut; `tight`: labels over names instead of on leads."""

    def __init__(self, setting: PageSetting, cut: Extract, *, tight: bool = False) -> None:
        self.setting, self.cut, self.tight = setting, cut, tight
        self.plan = setting.report.plan
        self.shown = set(cut.parts)
        self.glyphs: dict[str, Glyph] = {}
        self.fitted: dict[str, list[Glyph]] = {}
        self.flags: dict[str, dict[str, Glyph]] = {}
        self.pieces: dict[str, FlaggedPart] = {}
        self.strands: list[DrawnLead] = []
        homes = {name: setting.home(self.plan.parts[name]) for name in cut.parts}
        self.under = under(setting.report.wiring, cut, homes) if tight else {}
        self.taken: dict[PortId, int] = {}

    def sheet(self) -> PartsSheet:
        """Return the finished sheet."""
        self._draw_parts()
        for mate in self.cut.mates:
            self._join(mate)
        self._label_outlets()
        for name, glyph in self.glyphs.items():
            zone = self.setting.home(self.plan.parts[name])
            ident = f"part-{name}"
            drawn, flags = self._flagged(ident, glyph)
            narrow = captioned(drawn, flags) if self.tight else None
            piece = with_flags(ident, narrow or drawn, {} if narrow else flags, zone)
            if name in self.fitted:
                piece = replace(piece, glyph=beside(piece.glyph, self.fitted[name]))
            self.pieces[ident] = piece
        homes = {
            name: f"part-{across}"
            for name in self.cut.parts
            if (across := self.plan.parts[name].across) in self.shown
        }
        zones = tuple(self.plan.places)
        return PartsSheet(self.pieces, tuple(self.strands), zones, homes, under=self.under)

    def _flagged(self, ident: str, glyph: Glyph) -> tuple[Glyph, Mapping[str, Glyph]]:
        """A part and its flags, with the currents where they are wished for."""
        here = {s.head[1]: self.setting.pill(s) for s in self.strands if s.head[0] == ident}
        pills = {name: drawn for name, drawn in here.items() if drawn}
        return with_pills(glyph, self.flags.get(ident, {}), pills, tight=self.tight)

    def _draw_parts(self) -> None:
        for name in self.cut.parts:
            part = self.plan.parts[name]
            glyph = self._picture(part)
            if part.across and part.across in self.shown:
                self.fitted.setdefault(part.across, []).append(glyph)
            else:
                self.glyphs[name] = glyph

    def _picture(self, part: Part) -> Glyph:
        if any(part.id == lower for lower, _ in self.under.values()):
            return self.setting.artist.hung(part, self.under.get(part.id))
        return self.setting.artist.glyph(part)

    def _join(self, mate: Mate) -> None:
        """Add the strand of a mate, with a stub where one of its ends is not on this page."""
        turned = mate.plug.id in turned_plugs(self.setting.report.wiring)
        own, other = self._plug(mate, turned), self._socket(mate, turned)
        tail, head = (own, other) if turned else (other, own)
        strand = self.setting.strander.strand(mate, tail, head)
        self.strands.append(strand)
        tip, words = self.setting.tip(mate, strand), pulled_words(mate)
        said = note(f"note-{'.'.join(mate.plug.id)}", words, strand.title) if words else None
        if said and not turned and tail[0].startswith("part-"):
            self.flags.setdefault(tail[0], {})[tail[1]] = said
        elif said and turned:
            tip = in_a_row(tip, said)
        if head[0].startswith("part-"):
            self.flags.setdefault(head[0], {})[head[1]] = tip

    def _label_outlets(self) -> None:
        """Put a flag on the leads that parts carry for the plugs of others."""
        drawn = {mate.socket.id for mate in self.cut.mates if mate.socket}
        for name in self.glyphs:
            part = self.plan.parts[name]
            for port in self.setting.outlets.of(part):
                if port.id in drawn:
                    self._label_outlet(part, port)

    def _label_outlet(self, part: Part, port: Port) -> None:
        tip = self.setting.outlets.tip(port)
        if part.holds_cells:
            self.glyphs[part.id] = laid_on(self.glyphs[part.id], port.name, tip)
            return
        flags = self.flags.setdefault(f"part-{part.id}", {})
        flags[port.name] = in_a_row(flags[port.name], tip) if port.name in flags else tip

    def _plug(self, mate: Mate, turned: bool) -> PortId:
        part = mate.plug.part
        if part.id in self.shown:
            return (f"part-{part.id}", mate.plug.name)
        return self._stub(off_page(self.setting, mate, part, at_right=not turned))

    def _socket(self, mate: Mate, turned: bool) -> PortId:
        if mate.socket is None:
            return self._stub(loose_end(mate, self.setting.home(mate.plug.part)))
        name, port = mate.socket.id
        if name not in self.shown:
            beyond = self.plan.parts[name]
            return self._stub(off_page(self.setting, mate, beyond, at_right=turned))
        count = self.taken[name, port] = self.taken.get((name, port), 0) + 1
        if count > 1:
            twin = f"{port}~{count}"
            self.glyphs[name] = doubled(self.glyphs[name], port, twin)
            port = twin
        return (f"part-{name}", port)

    def _stub(self, piece: FlaggedPart) -> PortId:
        self.pieces[piece.id] = piece
        return (piece.id, "lead")


def off_page(
    setting: PageSetting, mate: Mate, beyond: Part, *, at_right: bool, narrow: bool = False
) -> FlaggedPart:
    """A pill that names the part beyond, its socket, the label code and its page.

    `narrow`: in two lines.
    """
    ident = f"beyond-{'.'.join(mate.plug.id)}"
    page = setting.pages.get(beyond.id)
    there = [setting.codes.get(mate.plug.id, "")]
    if beyond is not mate.plug.part:
        there = [mate.socket.name if mate.socket else "", pulled_words(mate)]
    number = f"{page or '':\u2007<{3 * setting.many}}"  # as broad before it is known
    words = [*filter(None, (spoken_id(beyond.id), *there, f"page {number}" if page else ""))]
    narrow = (narrow or setting.many) and len(words) > 1
    lines = [words[0], " · ".join(words[1:])] if narrow else [" · ".join(words)]
    pill = _pill(ident, lines, points_right=at_right)
    return FlaggedPart(ident, pill, setting.home(beyond), beyond.id)


def _pill(ident: str, lines: Sequence[str], *, points_right: bool) -> Glyph:
    """A dashed arrow-ended pill; the lead arrives at its flat end."""
    start, tip, high = 7.0 if points_right else 14.0, 7.0, HIGH + LINE * (len(lines) - 1)
    inner = [
        text(start, HIGH / 2 + 2.9 + LINE * n, line, look.SMALL, fill=look.SOFT_INK)
        for n, line in enumerate(lines)
    ]
    wide = max(line.width for line in inner) + 22
    if points_right:
        shape = [(0, 0), (wide - tip, 0), (wide, high / 2), (wide - tip, high), (0, high)]
        place = GlyphPlace(0, high / 2, "left")
    else:
        shape = [(wide, 0), (tip, 0), (0, high / 2), (tip, high), (wide, high)]
        place = GlyphPlace(wide, high / 2, "right")
    edge = Path(
        line_path(shape, closed=True),
        fill=look.PAPER,
        stroke=look.SOFT_INK,
        width=0.8,
        dash=(3.0, 2.0),
    )
    group = Group(ident, (edge, *inner), ("beyond",), " · ".join(lines))
    return Glyph(group, wide, high, {"lead": place}, (wide - 2, 2))


def loose_end(mate: Mate, zone: str) -> FlaggedPart:
    """Where a plug should go but nothing is: the socket as the plan names it, crossed out."""
    ident, label = f"nowhere-{'.'.join(mate.plug.id)}", f"{mate.join.into}: no such socket"
    red = look.severity_text("error")
    inner = text(6, HIGH / 2 + 2.9, label, look.SMALL, fill=red)
    wide = inner.width + 12
    frame = Path(rect_path(0, 0, wide, HIGH, 3), fill=look.PAPER, stroke=red, dash=(3.0, 2.0))
    group = Group(ident, (frame, inner), ("nowhere",), label)
    glyph = Glyph(group, wide, HIGH, {"lead": GlyphPlace(wide, HIGH / 2, "right")}, (wide - 2, 2))
    return FlaggedPart(ident, glyph, zone, mate.plug.part.id)
