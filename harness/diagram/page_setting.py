"""What every page of one report shares."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from harness.airframe.lengths import lengths_of
from harness.diagram.currents import Currents
from harness.diagram.lead_ribbons import Strander
from harness.diagram.part_words import Teller, spoken_id
from harness.diagram.pictures import Artist, Outlets
from harness.diagram.stages import DrawnLead, PortId
from harness.drawing import look
from harness.drawing.glyph import Glyph
from harness.drawing.marks import flag
from harness.drawing.pill import pill
from harness.drawing.scene import Text, text
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate
from harness.wiring.codes import port_codes


class PageSetting:
    """What every page of one report shares: codes, tooltips, pictures."""

    def __init__(self, report: Report, currents: Currents | None = None) -> None:
        self.report, self.currents = report, currents
        self.codes: dict[PortId, str] = port_codes(report.wiring)
        self.teller = Teller(report, self.codes)
        if currents:
            self.teller.said = currents.said(report.plan)
        self.outlets = Outlets(report, self.codes)
        self.artist = Artist(report, self.teller, self.outlets, currents)
        self.strander = Strander(report.wiring, self.teller, self.codes, currents)
        self.pages: Mapping[str, int] = {}
        self.many = False  # parts, on so many pages that stubs are narrow
        self._tips: dict[str, Glyph] = {}

    def home(self, part: Part) -> str:
        """Return the place a part is drawn in: its own, else that of what it plugs into."""
        seen: set[str] = set()
        here: Part | None = part
        while here is not None and here.id not in seen:
            if here.place:
                return here.place
            seen.add(here.id)
            joins = here.joins()
            here = self.report.plan.parts.get(joins[0][1].part) if joins else None
        return ""

    def sign_words(self, part: Part, *, scaled: bool) -> list[Text]:
        """Return a part's name, and its volts or how far it is to where it is plugged in."""
        name = look.shortened(spoken_id(part.id), look.SMALL, 110, "bold")
        found = [text(0, 0, name, look.SMALL, weight="bold", fill=look.INK)]
        said = ", ".join(self.teller.said.get(part.id, ())) if self.currents else ""
        words = said if self.currents else self._ways.get(part.id, "") if scaled else ""
        return found + ([text(0, 0, words, look.SMALL, fill=look.SOFT_INK)] if words else [])

    @cached_property
    def _ways(self) -> Mapping[str, str]:
        found: dict[str, str] = {}
        for measured in lengths_of(self.report.wiring):
            need, host = measured.need, measured.run.host
            if need and host and need.way.length:
                name = look.shortened(spoken_id(host.id), look.SMALL, 80)
                found.setdefault(measured.run.device.id, f"{need.way.length:.0f} mm to {name}")
        return found

    def tip(self, mate: Mate, strand: DrawnLead) -> Glyph:
        """Return the flag of a lead, drawn once."""
        name = ".".join(mate.plug.id)
        if name not in self._tips:
            self._tips[name] = flag(
                f"flag-{name}", strand.code, side=strand.side, title=strand.title
            )
        return self._tips[name]

    def pill(self, strand: DrawnLead) -> Glyph | None:
        """Return the current of a lead, to stand by its flag."""
        ident, reading = strand.id.replace("lead-", "current-", 1), strand.reading
        if reading is None:
            return None
        return pill(ident, reading.amps, reading.share, f"{strand.code}, {reading.case}")
