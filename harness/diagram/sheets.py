"""From a cut of the wiring to a sheet: every part's picture, every mate's strand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from harness.diagram.current_flags import with_pills
from harness.diagram.flagged_parts import beside, doubled, with_flags
from harness.diagram.lead_ribbons import is_turned
from harness.diagram.outlets import in_a_row, laid_on
from harness.diagram.page_setting import Shared
from harness.diagram.stages import DrawnLead, Extract, FlaggedPart, PartsSheet, PortId
from harness.diagram.stubs import loose_end, off_page
from harness.drawing.glyph import Glyph
from harness.drawing.glyphs_joins import flipped
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Mate


@dataclass(frozen=True)
class Stand:
    """How parts stand when the page is no run.

    Column by part, those that face left, and the motors whose propeller is behind them.
    """

    columns: Mapping[str, int]
    facing_left: frozenset[str]
    pushers: frozenset[str] = frozenset()


def sheet_of(desk: Shared, cut: Extract, stand: Stand | None = None) -> PartsSheet:
    """Draw every part and every mate of a cut."""
    return Builder(desk, cut, stand).sheet()


class Builder:
    """Collects the pieces and strands of one page."""

    def __init__(self, desk: Shared, cut: Extract, stand: Stand | None = None) -> None:
        self.desk, self.cut, self.stand = desk, cut, stand
        self.plan = desk.report.plan
        self.shown = set(cut.parts)
        self.glyphs: dict[str, Glyph] = {}
        self.flags: dict[str, dict[str, Glyph]] = {}
        self.pieces: dict[str, FlaggedPart] = {}
        self.strands: list[DrawnLead] = []
        self.taken: dict[PortId, int] = {}

    def sheet(self) -> PartsSheet:
        """Return the finished sheet."""
        self._draw_parts()
        for mate in self.cut.mates:
            self._join(mate)
        self._label_outlets()
        for name, glyph in self.glyphs.items():
            zone = self.desk.home(self.plan.parts[name])
            ident = f"part-{name}"
            drawn, flags = self._flagged(ident, glyph)
            self.pieces[ident] = with_flags(ident, drawn, flags, zone)
        homes = {
            name: f"part-{across}"
            for name in self.cut.parts
            if (across := self.plan.parts[name].across) in self.shown
        }
        zones = tuple(self.plan.places)
        return PartsSheet(self.pieces, tuple(self.strands), zones, homes)

    def _flagged(self, ident: str, glyph: Glyph) -> tuple[Glyph, Mapping[str, Glyph]]:
        """A part and its flags, with the currents where they are wished for."""
        here = {s.head[1]: self.desk.pill(s) for s in self.strands if s.head[0] == ident}
        pills = {name: drawn for name, drawn in here.items() if drawn}
        return with_pills(glyph, self.flags.get(ident, {}), pills)

    def _draw_parts(self) -> None:
        fitted: dict[str, list[Glyph]] = {}
        for name in self.cut.parts:
            part = self.plan.parts[name]
            glyph = self._picture(part)
            if part.across and part.across in self.shown:
                fitted.setdefault(part.across, []).append(glyph)
            else:
                self.glyphs[name] = glyph
        for name, others in fitted.items():
            self.glyphs[name] = beside(self.glyphs[name], others)
        for name in self.stand.facing_left if self.stand else ():
            if name in self.glyphs:
                self.glyphs[name] = flipped(self.glyphs[name])

    def _picture(self, part: Part) -> Glyph:
        if self.stand is None:
            return self.desk.artist.glyph(part)
        return self.desk.artist.posed(part, backwards=part.id in self.stand.pushers)

    def _at_right(self, near: Part | None, beyond: Part, *, run: bool) -> bool:
        """Say whether what lies beyond the page is drawn right of the part on it."""
        if self.stand is None or near is None:
            return run
        return self.stand.columns[beyond.id] > self.stand.columns[near.id]

    def _join(self, mate: Mate) -> None:
        """Add the strand of a mate, with a stub where one of its ends is not on this page."""
        turned = is_turned(mate)
        own, other = self._plug(mate, turned), self._socket(mate, turned)
        tail, head = (own, other) if turned else (other, own)
        strand = self.desk.strander.strand(mate, tail, head)
        self.strands.append(strand)
        if head[0].startswith("part-"):
            self.flags.setdefault(head[0], {})[head[1]] = self.desk.tip(mate, strand)

    def _label_outlets(self) -> None:
        """Put a flag on the leads that parts carry for the plugs of others."""
        drawn = {mate.socket.id for mate in self.cut.mates if mate.socket}
        for name in self.glyphs:
            part = self.plan.parts[name]
            for port in self.desk.outlets.of(part):
                if port.id in drawn:
                    self._label_outlet(part, port)

    def _label_outlet(self, part: Part, port: Port) -> None:
        tip = self.desk.outlets.tip(port)
        if part.holds_cells:
            self.glyphs[part.id] = laid_on(self.glyphs[part.id], port.name, tip)
            return
        flags = self.flags.setdefault(f"part-{part.id}", {})
        flags[port.name] = in_a_row(flags[port.name], tip) if port.name in flags else tip

    def _plug(self, mate: Mate, turned: bool) -> PortId:
        part = mate.plug.part
        if part.id in self.shown:
            return (f"part-{part.id}", mate.plug.name)
        near = mate.socket.part if mate.socket else None
        right = self._at_right(near, part, run=not turned)
        return self._stub(off_page(self.desk, mate, part, at_right=right))

    def _socket(self, mate: Mate, turned: bool) -> PortId:
        if mate.socket is None:
            zone = self.desk.home(mate.plug.part)
            return self._stub(replace(loose_end(mate), zone=zone))
        name, port = mate.socket.id
        if name not in self.shown:
            beyond = self.plan.parts[name]
            right = self._at_right(mate.plug.part, beyond, run=turned)
            return self._stub(off_page(self.desk, mate, beyond, at_right=right))
        count = self.taken[name, port] = self.taken.get((name, port), 0) + 1
        if count > 1:
            twin = f"{port}~{count}"
            self.glyphs[name] = doubled(self.glyphs[name], port, twin)
            port = twin
        return (f"part-{name}", port)

    def _stub(self, piece: FlaggedPart) -> PortId:
        self.pieces[piece.id] = piece
        return (piece.id, "lead")
