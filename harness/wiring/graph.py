"""The wiring as a networkx graph, for questions of your own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.parts.contacts import Contact
from harness.wiring.build import Wiring

if TYPE_CHECKING:
    from networkx import MultiGraph


def as_graph(wiring: Wiring) -> MultiGraph[Contact]:
    """Return contacts as nodes (`role`: signal, positive, negative or "") and links as edges.

    Edges carry `kind` (the name of a LinkKind), `owner` (a part's id), `colour` (IEC 60757),
    `volts` (of a SOURCE: `high` lies that much above the other end), `gauge` and `length` (mm) of
    a wire where the plan or the catalogue says so.
    """
    from networkx import MultiGraph  # takes a tenth of a second

    graph: MultiGraph[Contact] = MultiGraph()
    for link in wiring.links:
        for contact in (link.a, link.b):
            role = wiring.roles.get(contact)
            graph.add_node(contact, role=role.value if role else "")
        wire = link.wire
        graph.add_edge(
            link.a,
            link.b,
            kind=link.kind.name,
            owner=link.owner,
            colour=link.colour,
            volts=link.volts,
            high=link.b,
            gauge=wire.size.text if wire and wire.size else "",
            length=wire.length if wire else None,
        )
    return graph
