"""Drawings in a page: inline SVG with ids of its own, and what a tap on a lead shows."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from html import escape

from harness.drawing.scene import Group, Item, Scene, Text, walk
from harness.drawing.svg import number, svg_id, to_svg
from harness.paper.blocks import Picture, Trace, plain_id

LEAST = 12.0
"""Smallest text on a screen, CSS pixels."""
MAP = 116.0
"""Breadth of a drawing in small, CSS pixels."""


class PictureWriter:
    """Writes the drawings of one page, and remembers what can be traced in them."""

    def __init__(self) -> None:
        self.count = 0
        self.groups: set[str] = set()
        self.traces: dict[str, Trace] = {}
        self.places: dict[str, str] = {}

    def expect(self, pictures: Iterable[Picture]) -> None:
        """Note where each label code can be traced: in the first drawing that shows its lead."""
        for number_, picture in enumerate(pictures, 1):
            if not picture.live:
                continue
            shown = _ids(picture.scene)
            for trace in picture.traces:
                tap = next((tap for tap in trace.taps if tap in shown), "")
                if tap and trace.code:
                    self.places.setdefault(trace.code, group_id(number_, tap))

    def figure(self, picture: Picture) -> str:
        """Return a drawing with its caption."""
        self.count += 1
        if picture.words:
            items = "".join(f"<li>{escape(text)}</li>" for text in picture.words)
            return f"<p>{escape(picture.caption)}</p>\n<ul>{items}</ul>"
        live = picture.live and bool(picture.traces)
        large = live or picture.whole
        if live:
            self.groups |= _ids(picture.scene)
            self.traces |= {trace.taps[0]: trace for trace in picture.traces if trace.taps}
        caption = escape(picture.caption)
        name = caption or escape(picture.alt)
        under = f"\n<figcaption>{caption}{_HINT if live else ''}</figcaption>" if caption else ""
        classes = "pic" + " large" * large + " live" * live + " whole" * picture.whole
        if picture.scene.width > picture.scene.height:
            classes += " across"
        tools = f'<div class="tools script">{_CHOOSE if live else ""}{_ZOOM}</div>\n'
        return (
            f'<figure class="{classes}" id="_p{self.count}">\n{tools if large else ""}'
            f'<div class="stage"><div class="frame" role="region" aria-label="{name}" '
            f'tabindex="0">'
            f"{svg(picture, self.count, live=live)}</div>"
            f"{self._map(picture) if large else ''}</div>{under}</figure>"
        )

    def _map(self, picture: Picture) -> str:
        """Return the whole drawing in small, to show where in it one is and to go elsewhere."""
        wide, high = number(picture.scene.width), number(picture.scene.height)
        tall = MAP * picture.scene.height / picture.scene.width
        return (
            f'<div class="map script" aria-hidden="true" hidden><span inert>'
            f'<svg viewBox="0 0 {wide} {high}" width="{MAP:g}" height="{number(tall)}">'
            f'<use href="#{whole_id(self.count)}"/></svg></span><i></i></div>'
        )

    def data(self) -> str:
        """Return the traces as JSON that may stand in a page."""
        ids = sorted(
            {i for t in self.traces.values() for i in (*t.taps, *t.lit, *t.further)} & self.groups
        )
        at = {ident: index for index, ident in enumerate(ids)}
        found = [_trace(t, at) for t in self.traces.values() if any(tap in at for tap in t.taps)]
        made = {
            "ids": [group_id(0, ident)[len(group_id(0, "")) :] for ident in ids],
            "traces": found,
        }
        text = json.dumps(made, ensure_ascii=False, separators=(",", ":"))
        return text.replace("<", "\\u003c")


def _trace(trace: Trace, at: Mapping[str, int]) -> dict[str, object]:
    return {
        "title": trace.title,
        "code": trace.code,
        "taps": [at[tap] for tap in trace.taps if tap in at],
        "lit": [at[i] for i in trace.lit if i in at],
        "further": [at[i] for i in trace.further if i in at],
        "words": trace.sections,
        "links": [(plain_id(anchor), text) for anchor, text in trace.links],
    }


def _ids(scene: Scene) -> set[str]:
    return {item.id for item in walk(scene.items) if isinstance(item, Group) and item.id}


def group_id(picture: int, ident: str) -> str:
    """Return the id in the page of a group of the drawing with a number."""
    return svg_id(f"p{picture}:{ident}")


def whole_id(picture: int) -> str:
    """Return the id in the page of all of a drawing."""
    return f"_p{picture}-all"


def svg(picture: Picture, number_: int, *, live: bool) -> str:
    """Return a drawing as inline SVG, its smallest text legible; a live one keeps its ids."""
    scene = picture.scene
    items = tuple(_renamed(item, number_ if live else 0) for item in scene.items)
    lines = to_svg(replace(scene, items=items, title="", description="")).split("\n")
    scale = LEAST / min((t.size for t in walk(items) if isinstance(t, Text)), default=LEAST)
    wide, high = number(scene.width * scale), number(scene.height * scale)
    body = "\n".join(lines[4:]).rstrip("\n").removesuffix("</svg>")
    return (
        f'<svg width="{wide}" height="{high}" '
        f'viewBox="0 0 {number(scene.width)} {number(scene.height)}" '
        f'role="img" aria-label="{escape(picture.alt)}">\n'
        f'<g id="{whole_id(number_)}">\n{body}</g></svg>'
    )


def _renamed(item: Item, picture: int) -> Item:
    if not isinstance(item, Group):
        return item
    ident = f"p{picture}:{item.id}" if picture and item.id else ""
    classes = item.classes if picture else ()
    return Group(ident, tuple(_renamed(inner, picture) for inner in item.items), classes)


_CHOOSE = """<select class="choose" aria-label="Lead or part to trace">
<option value="">Trace a lead</option></select>
"""
_ZOOM = """<span class="zoom"><button type="button" data-zoom="out" aria-label="Smaller">−</button>
<button type="button" data-zoom="in" aria-label="Larger">+</button>
<button type="button" data-zoom="whole">Whole</button></span>"""
_HINT = """<span class="script">. Tap a lead or part to trace it, again to let it go.</span>"""
