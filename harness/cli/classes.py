"""The classes of the catalogue as a builder chooses among them: for `harness keys`."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.near import spoken
from harness.base.units import parse_wire
from harness.base.wire import DENSITY, ohm_per_metre
from harness.catalogue import Catalogue, load

_VOLTS = ("volts", "volts-min volts-max")
_GOOD, _SECONDS = ("for good", "continuous"), ("for seconds", "burst")
_BODY = (("weight", "weight"), ("size", "size"))
COLUMNS: dict[str, tuple[tuple[str, str], ...]] = {
    "servos": (*_BODY, ("stall", "stall"), _VOLTS, ("", "kind")),
    "escs": (*_BODY, ("cells", "cells-usual"), ("BEC", "bec-usual")),
    "plugs": (_GOOD, _SECONDS, ("a contact", "contact-resistance"), ("thickest wire", "wire-max"),
              ("keyed", "keyed")),
    "wires": (("across", "outer"), ("copper", "gram"), ("resistance", "ohm"), _GOOD,
              ("in silicone", "silicone"), _SECONDS),
    "packs": (("cell full", "full"), ("nominal", "nominal"), ("empty", "empty"),
              ("harmed below", "damage"), ("g/Wh", "grams-per-wh")),
    "receivers": (_VOLTS, ("draws", "idle")),
    "regulators": (("volts", "volts"), ("needs above", "drop-out"), ("efficiency", "efficiency")),
    "retracts": (("model", "for-model"), ("running", "running"), ("at the stop", "stop"),
                 ("travel", "travel-time")),
    "motors": (("winding takes of its volts", "resistance-share"),
               ("runs idle on of its current", "no-load-share")),
    "diodes": (("drop", "drop"), ("at", "drop-current"), ("least drop", "drop-low")),
    "switches": (("drop", "drop"), _GOOD, _SECONDS),
}  # fmt: skip
"""What is shown of each table: a title, and the keys of the catalogue (two: from, to)."""
OF_GROUPS = {
    "servos": ("servos", "class"), "escs": ("escs", ""), "packs": ("packs", "chemistry"),
    "receivers": ("receivers", "class"), "autopilots": ("receivers", "class"),
    "stabilisers": ("receivers", "class"), "regulators": ("regulators", "kind"),
    "retracts": ("retracts", "class"), "motors": ("motors", ""), "ducted-fans": ("motors", ""),
    "diodes": ("diodes", "kind"), "switches": ("switches", "kind"),
    "plugs": ("plugs", "connector"), "wires": ("wires", "wire"),
}  # fmt: skip
"""The table of each page, and the key under which a plan names one of its classes."""


def class_lines(page: str) -> Iterator[str]:
    """Yield the classes that belong on a page, with their typical figures, if any do."""
    if page not in OF_GROUPS:
        return
    table, written = OF_GROUPS[page]
    catalogue, columns = load(), COLUMNS[table]
    rows = [row for row in catalogue.rows(table) if _says(catalogue, table, row)]
    cells = [["", *(title for title, _ in columns)]]
    cells += [[row, *(_cell(catalogue, table, row, keys) for _, keys in columns)] for row in rows]
    how = f" by class (`{written}: {rows[0]}`)" if written else ""
    yield f"Typical figures{how}; what a label or a meter says goes before:"
    wide = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for line in cells:
        yield "  " + "  ".join(f"{c:<{w}}" for c, w in zip(line, wide, strict=True)).rstrip()
    known = {
        v.status
        for row in rows
        for _, keys in columns
        for key in keys.split()
        if (v := catalogue.value(table, row, key))
    }
    words = spoken(sorted(status.replace("-", " ") for status in known))
    yield f"Origin: {words}. Classes of your own: `harness keys classes`."


def _says(catalogue: Catalogue, table: str, row: str) -> bool:
    return any(_cell(catalogue, table, row, keys) for _, keys in COLUMNS[table])


def _cell(catalogue: Catalogue, table: str, row: str, keys: str) -> str:
    """Return a figure as written, or from one to another."""
    if keys in {"gram", "ohm"}:
        size = parse_wire(row)
        return (
            f"{size.area_mm2 * DENSITY:.{0 if size.area_mm2 > 1 else 1}f} g/m"
            if keys == "gram"
            else f"{1000 * ohm_per_metre(size):.3g} mohm/m"
        )
    found = [v.text for key in keys.split() if (v := catalogue.value(table, row, key))]
    if len(found) == 2 and found[0].partition(" ")[2] == found[1].partition(" ")[2]:
        return f"{found[0].partition(' ')[0]} to {found[1]}"
    return " to ".join(found)
