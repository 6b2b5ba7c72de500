"""Scene to SVG 1.1 text: ids, classes, tooltips, fixed text widths, the same bytes every time."""

import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache
from importlib.resources import files

from harness.drawing.scene import (
    Group,
    Item,
    Paper,
    Path,
    Scene,
    Text,
    page_scale,
    page_size,
    rect_path,
    walk,
)

MM_PER_POINT = 25.4 / 72
FORBIDDEN = re.compile(r"[^\t\n\r\x20-\uD7FF\uE000-\uFFFD\U00010000-\U0010FFFF]")
WHITE = "#FFFFFF"
Way = tuple[Sequence[str], Sequence[str]]
"""The groups that light a way when they are hovered, and all groups that lie on it."""
STYLE = (
    "svg:focus,.tap:focus{outline:none}.tap{cursor:pointer}"
    ".tap:focus-visible{outline:2.5px solid #0072B2}"
    ".traced .dim{opacity:.1}.traced .place{opacity:.45}"
)
FAMILY = "'DejaVu Sans', Verdana, sans-serif"


def to_svg(
    scene: Scene,
    *,
    paper: Paper = "scene",
    margin: float = 24.0,
    max_scale: float = 1.3,
    ways: Sequence[Way] = (),
) -> str:
    """The drawing as an SVG document, on the same sheet and at the same scale as in a PDF.

    The view box is the whole sheet in the drawing's own points. Hovering, tapping or focusing a
    group of `ways` lights all that lies on its way. Raises ValueError when two groups share an id.
    """
    _refuse_twins(scene)
    wide, high = page_size(scene, paper)
    scale = page_scale(scene, paper, margin, max_scale)
    left, top = (scene.width - wide / scale) / 2, (scene.height - high / scale) / 2
    box = " ".join(map(number, (left, top, wide / scale, high / scale)))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(wide * MM_PER_POINT)}mm" '
        f'height="{number(high * MM_PER_POINT)}mm" viewBox="{box}" role="img" '
        f'aria-labelledby="__title __desc" font-family="{FAMILY}">',
        f'<title id="__title">{clean(scene.title)}</title>',
        f'<desc id="__desc">{clean(scene.description)}</desc>',
    ]
    if paper != "scene":
        sheet = rect_path(left, top, wide / scale, high / scale)
        lines.append(_path(Path(sheet, fill=WHITE)))
    for item in scene.items:
        lines.extend(_item(item))
    lines += _lighting(scene, ways) if ways else []
    lines.append("</svg>\n")
    return "\n".join(lines)


def own_script(name: str) -> str:
    """Return one of the scripts that stand beside this module."""
    return (files(__package__ or "") / name).read_text(encoding="utf-8")


def _lighting(scene: Scene, ways: Sequence[Way]) -> list[str]:
    """The style and the script by which a group lights its way; no library, no network."""
    here = {item.id for item in walk(scene.items) if isinstance(item, Group) and item.id}
    ids = sorted({name for _, lit in ways for name in lit} & here)
    at = {name: index for index, name in enumerate(ids)}
    taps: dict[str, int] = {}
    for number_, (names, _) in enumerate(ways):
        taps |= {svg_id(name): number_ for name in names if svg_id(name) not in taps}
    data = {
        "ids": list(map(svg_id, ids)),
        "taps": taps,
        "lit": [[at[name] for name in lit if name in at] for _, lit in ways],
    }
    text = json.dumps(data, separators=(",", ":"), sort_keys=True)
    script = "\n".join(
        (f"const ways = {text};", own_script("light.js"), own_script("light_file.js"))
    )
    return [f"<style>{STYLE}</style>", f"<script><![CDATA[(() => {{\n{script}}})();]]></script>"]


@lru_cache(1 << 16)
def number(value: float) -> str:
    """A coordinate with at most two decimals, without trailing zeros or a minus zero."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def clean(value: str) -> str:
    """Text escaped for XML; characters that XML 1.0 forbids become the replacement character."""
    safe = FORBIDDEN.sub("\ufffd", value).replace("&", "&amp;")
    return safe.replace("<", "&lt;").replace(">", "&gt;")


def svg_id(raw: str) -> str:
    """A valid XML id for any text; different texts give different ids."""
    safe = re.sub(r"[^A-Za-z0-9.-]", lambda m: f"_{ord(m[0]):x}_", raw)
    return safe if re.match(r"[A-Za-z_]", safe) else "_" + safe


def _attribute(value: str) -> str:
    safe = clean(value).replace('"', "&quot;")
    for letter in "\t\n\r":
        safe = safe.replace(letter, f"&#{ord(letter)};")
    return f'"{safe}"'


def _refuse_twins(scene: Scene) -> None:
    ids = [item.id for item in walk(scene.items) if isinstance(item, Group) and item.id]
    twins = sorted(name for name, count in Counter(ids).items() if count > 1)
    if twins:
        raise ValueError(f"two groups of the drawing share an id: {', '.join(twins)}")


def _item(item: Item) -> Iterator[str]:
    if isinstance(item, Group):
        yield from _group(item)
    elif isinstance(item, Text):
        yield _text(item)
    else:
        yield _path(item)


def _group(group: Group) -> Iterator[str]:
    ident = f' id="{svg_id(group.id)}"' if group.id else ""
    names = f" class={_attribute(' '.join(group.classes))}" if group.classes else ""
    role = f' role="group" aria-label={_attribute(group.title)}' if group.title else ""
    yield f"<g{ident}{names}{role}>"
    if group.title:
        yield f"<title>{clean(group.title)}</title>"
    for item in group.items:
        yield from _item(item)
    yield "</g>"


def _path(path: Path) -> str:
    data = "".join(name + " ".join(map(number, values)) for name, values in path.commands)
    style = f' fill="{path.fill or "none"}"'
    if path.stroke:
        style += f' stroke="{path.stroke}" stroke-width="{number(path.width)}"'
        style += "" if path.cap == "butt" else f' stroke-linecap="{path.cap}"'
        style += "" if path.join == "miter" else f' stroke-linejoin="{path.join}"'
        style += f' stroke-dasharray="{" ".join(map(number, path.dash))}"' if path.dash else ""
    style += f' opacity="{number(path.opacity)}"' if path.opacity < 1 else ""
    return f'<path d="{data}"{style}/>'


def _text(item: Text) -> str:
    style = f' font-size="{number(item.size)}" fill="{item.fill}"'
    style += "" if item.anchor == "start" else f' text-anchor="{item.anchor}"'
    style += ' font-weight="bold"' if item.weight == "bold" else ""
    if item.angle:
        place = f"{number(item.angle)} {number(item.x)} {number(item.y)}"
        style += f' transform="rotate({place})"'
    length = f' textLength="{number(item.width)}" lengthAdjust="spacingAndGlyphs"'
    at = f'x="{number(item.x)}" y="{number(item.y)}"'
    return f"<text {at}{style}{length if item.width else ''}>{clean(item.text)}</text>"
