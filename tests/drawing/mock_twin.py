"""A small twin, composed by hand from glyphs: what a caller of the drawing package does."""

from dataclasses import dataclass

from harness.drawing import glyphs as g
from harness.drawing.lanes import in_lanes
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import Laid, LayoutCluster, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL, MOTOR, POWER, Gauge, Wire, chained, ribbon
from harness.drawing.scene import Group, Item, Path, Scene, moved_group, rect_path
from harness.drawing.spread import spread

ZONES = {"fuselage": "Fuselage", "left": "Wing, left", "right": "Wing, right"}
WHITE = (Wire("WH"), Wire("RD"), Wire("BK"))
ORANGE = (Wire("OG"), Wire("RD"), Wire("BN"))
PULLED = (Wire("WH"), Wire("RD", "tail"), Wire("BK"))
PAIR = (Wire("RD"), Wire("BK"))
THREE = (Wire("BK"), Wire("BK"), Wire("BK"))
TOP = 58.0


@dataclass(frozen=True)
class Lead:
    """tail.place to head.place, with an optional flag."""

    id: str
    tail: str
    head: str
    wires: tuple[Wire, ...]
    flag: str = ""
    side: str = ""
    gauge: Gauge = CONTROL
    zone: str | None = None


LEADS = (
    Lead("aileron-y", "rx:1", "ail-y:plug", WHITE, "1 AIL", zone="fuselage"),
    Lead("throttle-y", "rx:3", "thr-y:plug", WHITE, "3 THR", zone="fuselage"),
    Lead("flap-y", "rx:6", "flap-y-part:plug", WHITE, "6 FLAP", zone="fuselage"),
    Lead("s-al", "ail-y:1", "ail-l:lead", ORANGE, "AIL-L", "left", zone="left"),
    Lead("s-ar", "ail-y:2", "ail-r:lead", ORANGE, "AIL-R", "right", zone="right"),
    Lead("s-fl", "flap-y-part:1", "flap-l:lead", ORANGE, "FLAP-L", "left", zone="left"),
    Lead("s-fr", "flap-y-part:2", "turn:left", ORANGE, "FLAP-R", "right", zone="right"),
    Lead("s-fr2", "turn:right", "flap-r:lead", ORANGE, zone="right"),
    Lead("s-el", "thr-y:1", "esc-l:signal", WHITE, "ESC-L", "left", zone="left"),
    Lead("s-er", "thr-y:2", "esc-r:signal", PULLED, "ESC-R", "right", zone="right"),
    Lead("main", "pack:main", "join:supply", PAIR, gauge=POWER),
    Lead("p-l", "join:1", "esc-l:battery", PAIR, gauge=POWER),
    Lead("p-r", "join:2", "esc-r:battery", PAIR, gauge=POWER),
    Lead("m-l", "esc-l:motor", "motor-l:lead", THREE, gauge=MOTOR),
    Lead("m-r", "esc-r:motor", "motor-r:lead", THREE, gauge=MOTOR),
)


def parts() -> dict[str, tuple[g.Glyph, str]]:
    names = ["aileron", "", "throttle", "", "", "flap", "", ""]
    sockets = [g.Socket(str(i), name, bool(name)) for i, name in enumerate(names, 1)]
    servo = ("17 g digital",)
    found = [
        (g.receiver(g.Tag("rx", "Receiver"), sockets), "fuselage"),
        (g.junction(g.Tag("ail-y", ""), wires=WHITE), "fuselage"),
        (g.junction(g.Tag("thr-y", ""), wires=WHITE), "fuselage"),
        (g.junction(g.Tag("flap-y-part", ""), wires=WHITE), "fuselage"),
        (g.servo(g.Tag("ail-l", "Aileron left", servo)), "left"),
        (g.servo(g.Tag("flap-l", "Flap left", servo)), "left"),
        (g.servo(g.Tag("ail-r", "Aileron right", servo), shaft="right"), "right"),
        (g.servo(g.Tag("flap-r", "Flap right", servo), shaft="right"), "right"),
        (g.reverser(g.Tag("turn", "Reverser")), "right"),
        (g.esc(g.Tag("esc-l", "ESC left", ("40 A",))), "left"),
        (g.esc(g.Tag("esc-r", "ESC right", ("40 A",))), "right"),
        (g.motor(g.Tag("motor-l", "Motor left")), "left"),
        (g.motor(g.Tag("motor-r", "Motor right")), "right"),
        (g.pack(g.Tag("pack", "Main pack"), cells="4S", capacity="5 Ah 35C"), "fuselage"),
        (g.power_junction(g.Tag("join", "Parallel lead")), "fuselage"),
    ]
    column = ("ail-l", "ail-r", "flap-l", "esc-l", "esc-r")
    return {
        glyph.group.id: (glyph.widened(130) if glyph.group.id in column else glyph, place)
        for glyph, place in found
    }


def flags() -> dict[str, g.Glyph]:
    return {lead.id: g.flag(f"flag-{lead.id}", lead.flag, side=lead.side)
            for lead in LEADS if lead.flag}  # fmt: skip


def edges(lead: Lead) -> list[LayoutEdge]:
    (tail, out), (head, into) = lead.tail.split(":"), lead.head.split(":")
    heavy = 3 if lead.gauge is not CONTROL else 1
    if not lead.flag:
        return [LayoutEdge(lead.id, tail, head, out, into, heavy)]
    name = f"flag-{lead.id}"
    return [
        LayoutEdge(f"{lead.id}#0", tail, name, out, "left", 2),
        LayoutEdge(f"{lead.id}#1", name, head, "right", into, 2),
    ]


def layout_graph() -> LayoutGraph:
    nodes = [glyph.node(place) for glyph, place in parts().values()]
    places = {lead.id: lead.zone for lead in LEADS}
    nodes += [glyph.node(places[name]) for name, glyph in flags().items()]
    zones = tuple(LayoutCluster(name, margin=16) for name in ZONES)
    found = tuple(edge for lead in LEADS for edge in edges(lead))
    return LayoutGraph(tuple(nodes), found, zones, nodesep=9, ranksep=40)


def scene(laid: Laid) -> Scene:
    items: list[Item] = [
        g.zone(f"place-{name}", laid.clusters[name], ZONES[name], i) for i, name in enumerate(ZONES)
    ]
    for lead in LEADS:
        spline = chained([laid.edges[edge.id] for edge in edges(lead)])
        items.append(ribbon(lead.id, spline, lead.wires, gauge=lead.gauge, title=lead.id))
    for name, glyph in {**{k: v for k, (v, _) in parts().items()},
                        **{f"flag-{k}": v for k, v in flags().items()}}.items():  # fmt: skip
        rect = laid.nodes[name].rect
        items.append(glyph.at(rect.x, rect.y))
    return framed(laid, items)


def framed(laid: Laid, items: list[Item]) -> Scene:
    remarks = [
        g.Remark(1, "danger", "both flap servos turn the same way on this Y-lead, yet their shafts "
                 "face opposite ways: left goes down, right goes up; keep the reverser"),
        g.Remark(2, "warning", "the battery wires of ESC right are 450 mm long: add capacitors"),
    ]  # fmt: skip
    for number, name, severity in ((1, "flap-r", "danger"), (2, "esc-r", "warning")):
        rect, (x, y) = laid.nodes[name].rect, parts()[name][0].mark
        mark = g.marker(f"finding-{number}", number, severity)
        items.append(moved_group(mark, rect.x + x, rect.y + y))
    block, wide, _ = g.title_block("title", "Saltmarsh 19", "run view", "5f0c2e91", "page 1 of 4")
    width = max(laid.width, 700.0)
    words, high = g.legend("legend", remarks, width - wide - 40)
    height = TOP + laid.height + 8 + high
    body = tuple(moved_group(item, 0, TOP) for item in items if isinstance(item, Group))
    paper = Path(rect_path(0, 0, width, height), fill="#ffffff")
    top = moved_group(block, 8, 4)
    return Scene(width, height, (paper, *body, top, moved_group(words, 8, TOP + laid.height + 4)),
                 "Saltmarsh 19, run view", "what plugs into what")  # fmt: skip


def build() -> Scene:
    laid = lay_out(layout_graph())
    return scene(in_lanes(spread(laid, (laid.height + 110) * 1.45)))
