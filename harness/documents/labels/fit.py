"""Chooses how the words of a label share its face, and how large they are.

The typeface is DejaVu Sans, as it comes with matplotlib, as the drawings use it. Three
arrangements are tried: the code above the rest ("stack"), beside it ("beside"), and all in one
line ("row"). No letter is printed with capitals lower than 2.0 mm: the floor for human-readable
part marking in the summaries of MIL-STD-130.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from itertools import product
from math import ceil
from typing import Any

from harness.base.data import dataclass, replace
from harness.documents.labels.label import MM_PER_POINT, TextLine
from harness.drawing import font

# Top of "H" over units per em in both files; their tables are too old to state it themselves.
CAP_RATIO = 1493 / 2048


def font_name(bold: bool) -> str:
    """The name under which the face is registered with reportlab."""
    return "label-text-bold" if bold else "label-text"


@cache
def load_font(bold: bool) -> Any:
    """The reportlab font object, registered for drawing."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = font_name(bold)
    face = TTFont(name, str(font.font_path(_weight(bold))))
    pdfmetrics.registerFont(face)
    return face


def _weight(bold: bool) -> font.Weight:
    return "bold" if bold else "normal"


def cap_height(size_pt: float) -> float:
    """Height in mm of a capital letter at a type size in points."""
    return CAP_RATIO * size_pt * MM_PER_POINT


def text_width(text: str, size_pt: float, bold: bool = False) -> float:
    """Width in mm of a line of text."""
    return font.text_width(text, size_pt, _weight(bold)) * MM_PER_POINT


def unprintable(text: str) -> str:
    """The first character that cannot be printed, or an empty string.

    No glyph in either face, a control character, a mark that needs placing over its neighbour,
    or a script that runs from right to left (the printer sets characters one by one).
    """
    for char in text:
        category = unicodedata.category(char)
        leftward = unicodedata.bidirectional(char) in ("R", "AL", "AN")
        if category[0] in "CM" or category in ("Zl", "Zp") or leftward:
            return char
        if font.missing_glyphs(char) or font.missing_glyphs(char, "bold"):
            return char
    return ""


SMALLEST_CAPITAL_MM = 2.0
LARGEST_CODE_PT = 34.0
MOST_LINES = 3
# In ems of the type size: what hangs below the line, and what an accent adds above a capital.
DESCENT = 0.24
ACCENT = 0.16
TIGHT = 0.1
CODE_GAP = 0.1
BETWEEN_MM = 1.8
CODE_TIMES = (2.4, 2.0, 1.7, 1.4, 1.2, 1.0)
# Points of type that a less clear arrangement must gain to be preferred: our own choice.
BROKEN_PENALTY = 8.0
ROW_PENALTY = 12.0
TIGHT_PENALTY = 6.0
MOST = 0.75
NOT_MUCH_SMALLER = 0.8


@dataclass(frozen=True)
class FaceWords:
    """What a label says."""

    code: str
    end: str
    text: str

    @property
    def details(self) -> tuple[str, ...]:
        """The lines beside the code that say something."""
        return tuple(part for part in (self.end, self.text) if part)


@dataclass(frozen=True)
class FaceRoom:
    """What there is to fill, mm; the arrow's width is taken from the code's line."""

    width: float
    height: float
    arrow: float = 0.0


@dataclass(frozen=True)
class Fitted:
    """Lines placed from the top left of their block, mm; `extra`: how many come of breaking one."""

    lines: tuple[TextLine, ...]
    width: float
    height: float
    extra: int = 0


Arrange = Callable[[FaceWords, FaceRoom, "Style"], Fitted | None]


@dataclass(frozen=True)
class Style:
    """An arrangement with its type sizes in points; a higher score reads better."""

    arrange: Arrange
    code_size: float
    size: float
    penalty: float

    @property
    def score(self) -> float:
        """How well it reads, before any breaking of lines."""
        return self.code_size + 1.5 * self.size - self.penalty


@cache
def smallest_size() -> float:
    """Type size in points, to the next tenth, with capitals of 2.0 mm."""
    return ceil(SMALLEST_CAPITAL_MM / CAP_RATIO / MM_PER_POINT * 10.0) / 10.0


@cache
def styles() -> tuple[Style, ...]:
    """All styles, the best first."""
    sizes = (smallest_size(), 8.5, 9.5, 11.0, 13.0)
    stack, tight = partial(_stacked, tight=False), partial(_stacked, tight=True)
    arrangements: tuple[tuple[Arrange, float], ...] = (
        (stack, 0.0),
        (_beside, 0.0),
        (_row, ROW_PENALTY),
        (tight, TIGHT_PENALTY),
    )
    every = [
        Style(arrange, min(round(size * times, 1), LARGEST_CODE_PT), size, penalty)
        for (arrange, penalty), size, times in product(arrangements, sizes, CODE_TIMES)
    ]
    return tuple(sorted(every, key=lambda style: -style.score))


def common_style(requests: Sequence[tuple[FaceWords, FaceRoom]]) -> int:
    """Number of the style that makes a sheet look of one piece.

    The best one that suits every label, unless a few long ones would make all the rest much
    smaller: then the best that suits most, and `fit` finds the long ones another.
    """
    most: int | None = None
    for number, style in enumerate(styles()):
        suits = sum(_suits(words, room, style) for words, room in requests)
        if most is None and suits >= MOST * len(requests):
            most = number
        if most is not None and style.score < NOT_MUCH_SMALLER * styles()[most].score:
            return most
        if suits == len(requests):
            return number
    return most or 0


def _suits(words: FaceWords, room: FaceRoom, style: Style) -> bool:
    found = style.arrange(words, room, style)
    return found is not None and found.extra == 0


def fit(words: FaceWords, room: FaceRoom, first: int = 0, exact: bool = False) -> Fitted | None:
    """The best arrangement from style number `first` on, or None when none is legible.

    `exact`: that very style wherever it is legible.
    """
    best = styles()[first].arrange(words, room, styles()[first]) if exact else None
    best_score = float("inf") if best else float("-inf")
    for style in styles()[first:]:
        if style.score <= best_score:
            break
        found = style.arrange(words, room, style)
        if found is not None and style.score - BROKEN_PENALTY * found.extra > best_score:
            best, best_score = found, style.score - BROKEN_PENALTY * found.extra
    return best


def shared_style(requests: Sequence[tuple[FaceWords, FaceRoom]], first: int) -> int:
    """Number of the best style from number `first` on that suits all labels of one lead."""
    best, best_score = first, float("-inf")
    for number, style in enumerate(styles()[first:], first):
        if style.score <= best_score:
            break
        found = [style.arrange(words, room, style) for words, room in requests]
        extra = max((one.extra for one in found if one is not None), default=0)
        if None not in found and style.score - BROKEN_PENALTY * extra > best_score:
            best, best_score = number, style.score - BROKEN_PENALTY * extra
    return best


def wrap_words(text: str, width: float, size: float) -> list[str] | None:
    """The text in lines no wider than `width` mm, or None if a word is too long."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        elif text_width(word, size) <= width:
            lines.append(word)
        else:
            return None
    return lines if len(lines) <= MOST_LINES else None


def _wrapped(words: FaceWords, width: float, size: float) -> list[str] | None:
    lines: list[str] = []
    for part in words.details:
        wrapped = wrap_words(part, width, size)
        if wrapped is None:
            return None
        lines += wrapped
    return lines


def _down(texts: list[tuple[str, float, bool]], tight: bool = False) -> Iterator[TextLine]:
    """Lines one below the other, the first one's capitals touching the top."""
    baseline, below = 0.0, 0.0
    for number, (text, size, bold) in enumerate(texts):
        lead = TIGHT if tight and text.isascii() else ACCENT
        above = lead * size * MM_PER_POINT if number else 0.0
        baseline += below + above + cap_height(size)
        hang = DESCENT if _hangs(text) or not bold else CODE_GAP
        below = hang * size * MM_PER_POINT
        yield TextLine(text, 0.0, baseline, size, bold)


def _hangs(text: str) -> bool:
    return any(char in "gjpqyQ,;()[]{}|_/\\@$" or ord(char) > 126 for char in text)


def _depth(line: TextLine) -> float:
    return line.baseline + (DESCENT * line.size_pt * MM_PER_POINT if _hangs(line.text) else 0.0)


def _block(lines: list[TextLine], room: FaceRoom, extra: int) -> Fitted | None:
    width = max(line.x + text_width(line.text, line.size_pt, line.bold) for line in lines)
    height = max(map(_depth, lines))
    if height > room.height or width > room.width:
        return None
    return Fitted(tuple(lines), width, height, extra)


def _stacked(words: FaceWords, room: FaceRoom, style: Style, tight: bool) -> Fitted | None:
    code_width = text_width(words.code, style.code_size, True)
    details = _wrapped(words, room.width, style.size)
    if details is None or code_width + room.arrow > room.width:
        return None
    texts = [(words.code, style.code_size, True), *((line, style.size, False) for line in details)]
    found = _block(list(_down(texts, tight)), room, len(details) - len(words.details))
    if found is None:
        return None
    return replace(found, width=max(found.width, code_width + room.arrow))


def _beside(words: FaceWords, room: FaceRoom, style: Style) -> Fitted | None:
    left = text_width(words.code, style.code_size, True) + BETWEEN_MM
    details = _wrapped(words, room.width - left - room.arrow, style.size)
    return _side_by_side(words, details, room, style) if details else None


def _row(words: FaceWords, room: FaceRoom, style: Style) -> Fitted | None:
    return _side_by_side(words, ["  ".join(words.details)], room, style)


def _side_by_side(
    words: FaceWords, details: list[str], room: FaceRoom, style: Style
) -> Fitted | None:
    left = text_width(words.code, style.code_size, True) + BETWEEN_MM
    column = list(_down([(line, style.size, False) for line in details]))
    column_height, code_height = column[-1].baseline, cap_height(style.code_size)
    tall = max(column_height, code_height)
    mark = TextLine(words.code, 0.0, (tall + code_height) / 2, style.code_size, True)
    lines = [mark, *(line.moved(left, (tall - column_height) / 2) for line in column)]
    inner = FaceRoom(room.width - room.arrow, room.height)
    found = _block(lines, inner, max(len(details) - len(words.details), 0))
    return None if found is None else replace(found, width=found.width + room.arrow)
