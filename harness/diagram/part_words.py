"""What the picture says about a part: its name, its lines, and the tooltip a builder wants."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from harness.base.colours import word_of
from harness.base.near import capital
from harness.drawing.glyph import Tag
from harness.facts.of_leads import facts_of
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate
from harness.wiring.ratings import split_told

ACRONYMS = frozenset(
    ("bec", "ubec", "sbec", "cg", "edf", "esc", "fpv", "gps", "imu", "led", "osd", "rc", "rpm",
     "rx", "tx", "uav", "usb", "vtol", "vtx")
)  # fmt: skip
"""What the trade writes in capitals."""


def spoken_id(name: str) -> str:
    """Return an id as a name on a picture: aileron-left becomes Aileron left, esc-1 ESC 1."""
    return capital(spoken(name))


def spoken(name: str) -> str:
    """Return an id as words inside a sentence: esc-left becomes ESC left."""
    words = name.replace("-", " ").replace("_", " ").split(" ")
    return " ".join(w.upper() if w.rstrip("0123456789") in ACRONYMS else w for w in words)


def lines_of(part: Part) -> tuple[str, ...]:
    """Return the lines under a part's name."""
    return tuple(line for line in part.caption() if line)


class Teller:
    """Tooltips of one report: every word of a part or lead that a builder looks for."""

    def __init__(self, report: Report, codes: dict[tuple[str, str], str]) -> None:
        self.report, self.codes = report, codes
        self.flows = facts_of(report.wiring).flows
        self.said: Mapping[str, tuple[str, ...]] = {}
        self.mates: dict[str, list[Mate]] = defaultdict(list)
        for mate in report.wiring.mates:
            self.mates[mate.plug.part.id].append(mate)

    def tag(self, part: Part, *, named: bool = True, lines: tuple[str, ...] | None = None) -> Tag:
        """Return id, name, lines and tooltip of a part."""
        shown = self.said.get(part.id, lines_of(part)) if lines is None else lines
        name = spoken_id(part.id) if named else ""
        return Tag(f"part-{part.id}", name, shown if named else (), self.part(part))

    def part(self, part: Part) -> str:
        """Return a part's tooltip."""
        rows = [part.named(), *lines_of(part)]
        if part.place:
            rows.append(f"in {part.place}")
        rows += [self._goes(mate) for mate in self.mates[part.id]]
        if part.about:
            rows.append(part.about)
        return "\n".join(rows)

    def _goes(self, mate: Mate) -> str:
        code = self.codes.get(mate.plug.id, "")
        where = mate.socket.short if mate.socket else f"{mate.join.into} (no such socket)"
        return f"{mate.plug.name} {code} -> {where}".replace("  ", " ")

    def lead(self, mate: Mate) -> str:
        """Return a lead's tooltip: code, both ends, wires, what it carries."""
        plug = mate.plug
        rows = [f"lead {self.codes.get(plug.id, plug.short)}", self._goes(mate)]
        colours = [word_of(c) for c in (plug.colours or {}).values() if c]
        if colours:
            rows.append("wires " + ", ".join(colours))
        rows += [told] if (told := split_told(plug.part)) else []
        if mate.join.pulled:
            rows.append("pulled: " + ", ".join(mate.join.pulled))
        if found := [pin for pin in mate.open if pin not in mate.join.pulled]:
            rows.append("found open: " + ", ".join(found))
        flow = self.flows.port(*plug.id)
        if flow.burst or flow.steady:
            rows.append(f"carries {flow.steady:.1f} A, at worst {flow.burst:.1f} A")
        return "\n".join(rows)
