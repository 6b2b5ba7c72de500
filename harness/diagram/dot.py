"""The wiring as DOT text, so that anyone's Graphviz can draw it, lay it out anew or change it.

A part is a node with a row for each of its plugs and sockets that is taken, a mated pair an edge
in the colours of its wires, a place a cluster. Ids are those of our pictures: part-rx, lead-x.plug.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from html import escape
from typing import TYPE_CHECKING

from harness.base.colours import ZONES, amps_text, share_text, to_hex
from harness.diagram.currents import Currents
from harness.diagram.cuts import cut_of, ends_of
from harness.diagram.draw import file_stem, view_words
from harness.diagram.findings import numbered
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.page_setting import PageSetting
from harness.diagram.part_words import lines_of, spoken_id
from harness.diagram.stages import ViewWish
from harness.diagram.zone_names import tint_of
from harness.drawing import look
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Port
from harness.rules.run import Report
from harness.wiring.build import Mate

if TYPE_CHECKING:
    from graphviz import Digraph

FONT = {"fontname": "DejaVu Sans", "fontcolor": look.INK}
WHOLE = {
    "rankdir": "LR", "newrank": "true", "nodesep": "0.16", "ranksep": "0.5", "pad": "0.25",
    "labeljust": "l", "labelloc": "b", "fontsize": "9", "bgcolor": "#CFD8DE",
}  # fmt: skip
"""The ground is dark enough for white wires, and light enough for black ones."""
BUNDLED = 1.7
"""Points: Graphviz draws the wires of a lead 2 points apart, how thick they may be."""
MANY = 110
"""Signs on a line of the findings."""


def dot_files(report: Report, wish: ViewWish) -> dict[str, str]:
    """Return what a wish asks for as DOT text, by the name of its file.

    Raises Refusal for a name that the plan lacks and for a wish that shows nothing.
    """
    return {f"{file_stem(wish)}.dot": Sketch(report, wish).text()}


class Sketch:
    """The parts and mated pairs of one wish, as a graph to be laid out."""

    def __init__(self, report: Report, wish: ViewWish) -> None:
        self.report, self.wish, self.plan = report, wish, report.plan
        currents = Currents(report.wiring, wish.case) if wish.case else None
        self.setting, self.cut = PageSetting(report, currents), cut_of(report, wish)
        beyond = ends_of(self.cut.mates) - set(self.cut.parts)
        self.parts = [part for part in self.plan.parts if part in {*self.cut.parts, *beyond}]
        self.beyond = beyond
        self.tails = {self._ends(mate)[0].id for mate in self.cut.mates if mate.socket}
        self.heads = {self._ends(mate)[1].id for mate in self.cut.mates}
        self.homes = {part: self.setting.home(self.plan.parts[part]) for part in self.parts}
        self.places = {place for home in self.homes.values() for place in self.plan.holds(home)}
        self.found = [
            one
            for one in numbered(report)
            if not one.parts or not set(one.parts).isdisjoint(self.parts)
        ]

    def text(self) -> str:
        """Return the DOT text."""
        from graphviz import Digraph

        graph = Digraph("harness", graph_attr=WHOLE | FONT)
        told = [f"{one.number}. {one.text}" for one in self.found]
        graph.attr(label=_left(line for text in told for line in textwrap.wrap(text, MANY)))
        graph.attr("node", shape="plain", fontsize="10", **FONT)
        graph.attr("edge", dir="none")
        title = f"{self.plan.aircraft}: {view_words(self.wish)}, plan {self.plan.revision}"
        shown = self.setting.currents
        warned = textwrap.wrap(shown.warning, MANY) if shown else []
        with graph.subgraph(name="cluster_wiring") as whole:
            whole.attr(label=_left([title, *warned]), labelloc="t", penwidth="0", fontsize="14")
            self._fill(whole, "")
            for mate in self.cut.mates:
                self._join(whole, mate)
            for part in self.cut.parts:
                self._fit(whole, part)
        return str(graph.source)

    def _fill(self, graph: Digraph, inside: str) -> None:
        """Put the parts of a place into it, and the places that are in it."""
        for part in self.parts:
            if self.homes[part] == inside:
                about = _escaped(self.setting.teller.part(self.plan.parts[part]))
                graph.node(part, f"<{self._table(part)}>", id=f"part-{part}", tooltip=about)
        for number, (name, place) in enumerate(self.plan.places.items()):
            if place.within == inside and name in self.places:
                with graph.subgraph(name=f"cluster_{number}") as bay:
                    tint = [round(0.92 * c) for c in ZONES[tint_of(self.plan, name)]]
                    fill = to_hex((tint[0], tint[1], tint[2]))  # white wires show on it
                    bay.attr(
                        label=_left([spoken_id(name)]),
                        labelloc="t",
                        fontsize="10",
                        style="rounded,filled",
                        color=look.PALE,
                        fillcolor=fill,
                    )
                    self._fill(bay, name)

    def _table(self, part: str) -> str:
        """Return a part as a table: the leads that arrive, its words, the sockets they go to."""
        one, marks = self.plan.parts[part], [f for f in self.found if part in f.parts]
        words = [_font(spoken_id(part), look.INK, 11)]
        words += [_font(line, look.SOFT_INK) for line in lines_of(one)]
        words += [_font("not all of it is shown", look.SOFT_INK)] if part in self.beyond else []
        words += [_font(f"{f.severity} {f.number}", look.severity_text(f.severity)) for f in marks]
        edge = look.severity_colours(marks[0].severity)[0] if marks else look.CASE
        style = "rounded,dashed" if part in self.beyond else "rounded"
        fill = look.PAPER if one.is_lead else look.BODY
        return (
            f'<TABLE BORDER="{2 if marks else 1}" COLOR="{edge}" STYLE="{style}" '
            f'BGCOLOR="{fill}" CELLBORDER="0" CELLSPACING="0" CELLPADDING="3"><TR>'
            f'{self._column(part, head=True)}<TD PORT="part">{"<BR/>".join(words)}</TD>'
            f"{self._column(part, head=False)}</TR></TABLE>"
        )

    def _column(self, part: str, *, head: bool) -> str:
        """Return the ports of one side: leads by their label codes, sockets by their names."""
        rows = []
        for number, port in enumerate(self._ports(part, head=head)):
            mate = self.report.wiring.by_plug.get(port.id) if port.is_plug else None
            words = self._said(mate) if mate else [_font(port.name, look.SOFT_INK)]
            place = f'PORT="{_row(number, head)}" ALIGN="{"LEFT" if head else "RIGHT"}"'
            rows.append(f"<TR><TD {place}>{'<BR/>'.join(words)}</TD></TR>")
        if not rows:
            return ""
        return f'<TD><TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0">{"".join(rows)}</TABLE></TD>'

    def _ports(self, part: str, *, head: bool) -> list[Port]:
        """Return the ports of a part at which leads arrive on one side, in the part's own order."""
        ends = self.heads if head else self.tails
        return [port for port in self.report.wiring.by_part[part] if port.id in ends]

    def _said(self, mate: Mate) -> list[str]:
        """Return what stands where a lead arrives: its label code, and what is unusual of it."""
        said = [_font(self.setting.codes.get(mate.plug.id, mate.plug.short), look.INK)]
        said += [_font(f"{pin} pulled", look.INK) for pin in mate.join.pulled]
        found = [pin for pin in mate.open if pin not in mate.join.pulled]
        said += [_font(f"{pin} open", look.severity_text("danger")) for pin in found]
        for wrong, word in ((mate.turned, "turned"), (mate.crossed, "poles crossed")):
            said += [_font(word, look.severity_text("danger"))] if wrong else []
        reading = self.setting.currents.at(mate) if self.setting.currents else None
        if reading is not None:
            flows = filter(None, (amps_text(reading.amps), share_text(reading.share)))
            said.append(_font(", ".join(flows), look.INK))
        return said

    def _join(self, graph: Digraph, mate: Mate) -> None:
        """Draw a mated pair; a plug without a socket ends at the words that say so."""
        name = ".".join(mate.plug.id)
        strand = self.setting.strander.strand(mate, ("", ""), ("", ""))
        values = {
            "id": f"lead-{name}",
            "comment": _escaped(strand.code),
            "color": ":".join(look.insulation(wire.code)[0] for wire in strand.wires),
            "penwidth": f"{min(strand.gauge.wire, BUNDLED if strand.wires[2:] else 9):g}",
            "tooltip": _escaped(strand.title),
        }
        values |= {"style": "dashed"} if mate.open else {}
        tail, head = self._ends(mate)
        if mate.socket is None:
            start = f"lost.{name}"
            graph.node(
                start, _escaped(f"no such socket: {mate.join.into}"), id=start, shape="plaintext"
            )
        else:
            start = self._end(tail, head=False)
        graph.edge(start, self._end(head, head=True), **values)

    def _end(self, port: Port, *, head: bool) -> str:
        """Return where at a node a lead arrives: at its own row."""
        number = self._ports(port.part.id, head=head).index(port)
        return f"{port.part.id}:{_row(number, head)}:{'w' if head else 'e'}"

    def _ends(self, mate: Mate) -> tuple[Port, Port]:
        """Return the ports of a mated pair, the one nearer to receiver and packs first."""
        socket = mate.socket or mate.plug
        turned = mate.plug.id in turned_plugs(self.report.wiring)
        return (mate.plug, socket) if turned else (socket, mate.plug)

    def _fit(self, graph: Digraph, part: str) -> None:
        """Join a capacitor to the part whose poles it is soldered across."""
        one = self.plan.parts[part]
        if isinstance(one, Capacitor) and one.across in self.parts:
            graph.edge(one.across, part, id=f"across-{part}", style="dotted", color=look.CASE)


def _row(number: int, head: bool) -> str:
    return f"{'in' if head else 'out'}{number}"


def _font(words: str, colour: str, size: int = 8) -> str:
    plain = escape(words).replace("\\", "\\\\")  # Graphviz reads escapes in these labels too
    return f'<FONT POINT-SIZE="{size}" COLOR="{colour}">{plain}</FONT>'


def _escaped(text: str) -> str:
    """Return a text that Graphviz takes as it is, line for line."""
    from graphviz import nohtml

    lines = (" ".join(line.split()).replace("\\", "\\\\") for line in text.split("\n"))
    return str(nohtml("\\n".join(lines)))


def _left(lines: Iterable[str]) -> str:
    """Return lines that begin at the left edge."""
    return "".join(f"{_escaped(line)}\\l" for line in lines)
