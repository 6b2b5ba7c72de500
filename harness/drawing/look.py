"""The look of the drawings: sizes in points and colours, in one place."""

from bisect import bisect
from functools import cache

from harness.base.colours import CHANGES, OKABE_ITO, STATUS, text_on, tints, to_hex
from harness.drawing.font import Weight, text_width

INK = "#22303A"
SOFT_INK = "#4A5862"
PAPER = "#FFFFFF"
BODY = "#EDF1F3"
SHADE = "#D3DBE0"
CASE = "#3C4A54"
PALE = "#A9B4BB"
METAL = "#C9A24B"
BOARD = "#CFE0D6"
WRAP = "#DCE6F0"
ARMED = to_hex(OKABE_ITO["vermilion"])

NAME = 9.0  # size of a part's name
SMALL = 8.0  # smallest text: capitals 2.06 mm high when drawn at full size
LINE = 1.0  # outline of a part
THIN = 0.6  # inner detail
LEADING = 1.22  # line distance over text size
ELLIPSIS = "…"


@cache
def insulation(code: str) -> tuple[str, ...]:
    """Screen colours of one IEC 60757 item, ground first; raises ColourError."""
    return tuple(to_hex(rgb) for rgb in tints(code))


def severity_colours(severity: str) -> tuple[str, str]:
    """Fill of a marker and the colour of the number on it; raises KeyError."""
    fill = CHANGES[severity] if severity in CHANGES else STATUS[severity].fill
    return to_hex(fill), to_hex(text_on(fill))


def severity_text(severity: str) -> str:
    """Colour of a severity's words on white paper; raises KeyError."""
    return to_hex(STATUS[severity].text)


def wrapped(content: str, size: float, width: float) -> list[str]:
    """Lines of at most `width` points, broken at spaces; a longer word is broken where it must."""
    lines: list[str] = []
    for word in content.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines += broken(word, size, width)
    return lines


def broken(word: str, size: float, width: float) -> list[str]:
    """The pieces of a word, each at most `width` points wide but of one letter at least."""
    pieces = [""]
    for letter in word if text_width(word, size) > width else ():
        if pieces[-1] and text_width(pieces[-1] + letter, size) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces if pieces[-1] else [word]


def shortened(content: str, size: float, width: float, weight: Weight = "normal") -> str:
    """The text, or its beginning and an ellipsis, at most `width` points wide."""
    if text_width(content, size, weight) <= width:
        return content

    def begun(letters: int) -> str:
        return content[:letters].rstrip() + ELLIPSIS

    most = bisect(range(len(content)), width, key=lambda n: text_width(begun(n), size, weight))
    return begun(max(most - 1, 0))
