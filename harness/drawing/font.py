"""Advance widths of DejaVu Sans, read straight from the font file that matplotlib carries.

A reader of its own keeps start-up short: only the `head`, `hhea`, `hmtx` and `cmap` tables are
needed, as laid down in ISO/IEC 14496-22 (Open Font Format).
"""

import struct
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path as FilePath
from typing import Literal

from harness.base.data import dataclass

Weight = Literal["normal", "bold"]
FILES: Mapping[str, str] = {"normal": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf"}


@dataclass(frozen=True, slots=True)
class Metrics:
    """Widths in font units by code point; `units` per em."""

    units: int
    widths: Mapping[int, int]
    missing: int


def font_path(weight: Weight = "normal") -> FilePath:
    """Path of the font file; raises FileNotFoundError when matplotlib is not installed."""
    spec = find_spec("matplotlib")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("DejaVu Sans not found: matplotlib is not installed")
    folder = FilePath(spec.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
    return folder / FILES[weight]


@lru_cache(maxsize=1 << 14)
def text_width(text: str, size: float, weight: Weight = "normal") -> float:
    """Width of `text` in points at `size` points, without kerning."""
    metrics = load_metrics(weight)
    total = sum(metrics.widths.get(ord(letter), metrics.missing) for letter in text)
    return total * size / metrics.units


def missing_glyphs(text: str, weight: Weight = "normal") -> str:
    """Letters of `text` that the font cannot draw, in order of appearance."""
    widths = load_metrics(weight).widths
    return "".join(dict.fromkeys(letter for letter in text if ord(letter) not in widths))


@cache
def load_metrics(weight: Weight) -> Metrics:
    """Read the font once; raises FileNotFoundError."""
    data = font_path(weight).read_bytes()
    tables = _tables(data)
    (units,) = struct.unpack_from(">H", data, tables[b"head"] + 18)
    (count,) = struct.unpack_from(">H", data, tables[b"hhea"] + 34)
    advances = struct.unpack_from(">" + "Hh" * count, data, tables[b"hmtx"])[::2]
    glyphs = _code_points(data, tables[b"cmap"])
    widths = {code: advances[min(glyph, count - 1)] for code, glyph in glyphs.items()}
    return Metrics(units, widths, advances[0])


def _tables(data: bytes) -> dict[bytes, int]:
    (count,) = struct.unpack_from(">H", data, 4)
    rows = struct.iter_unpack(">4sIII", data[12 : 12 + 16 * count])
    return {tag: offset for tag, _, offset, _ in rows}


def _code_points(data: bytes, start: int) -> dict[int, int]:
    (count,) = struct.unpack_from(">H", data, start + 2)
    for row in range(count):
        platform, encoding, offset = struct.unpack_from(">HHI", data, start + 4 + 8 * row)
        (form,) = struct.unpack_from(">H", data, start + offset)
        if (platform, form) == (3, 4) and encoding == 1:
            return _format_4(data, start + offset)
    raise ValueError("the font has no Unicode character map")


def _format_4(data: bytes, start: int) -> dict[int, int]:
    (doubled,) = struct.unpack_from(">H", data, start + 6)
    count = doubled // 2
    ends = struct.unpack_from(f">{count}H", data, start + 14)
    firsts = struct.unpack_from(f">{count}H", data, start + 16 + doubled)
    deltas = struct.unpack_from(f">{count}H", data, start + 16 + 2 * doubled)
    places = start + 16 + 3 * doubled
    offsets = struct.unpack_from(f">{count}H", data, places)
    found: dict[int, int] = {}
    for row, (first, end) in enumerate(zip(firsts, ends, strict=True)):
        for code in range(first, min(end, 0xFFFE) + 1):
            glyph = code
            if offsets[row]:
                at = places + 2 * row + offsets[row] + 2 * (code - first)
                (glyph,) = struct.unpack_from(">H", data, at)
            if shifted := (glyph + deltas[row]) & 0xFFFF if glyph or not offsets[row] else 0:
                found[code] = shifted
    return found
