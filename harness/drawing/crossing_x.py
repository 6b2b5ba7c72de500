"""Where a spline passes a given x. A spot is curve number plus parameter: 1.5 is mid second."""

from collections.abc import Sequence

from harness.drawing.bezier import Curve, between

SAMPLES = 12  # looks a curve before the spot is narrowed down
HALVINGS = 30


def first_at(pieces: Sequence[Curve], x: float) -> float:
    """The first spot at or right of `x`; the spline's end if there is none."""
    before = 0.0
    for spot in _looks(len(pieces)):
        if x_at(pieces, spot) >= x:
            return _narrowed(pieces, before, spot, x)
        before = spot
    return float(len(pieces))


def last_at(pieces: Sequence[Curve], x: float) -> float:
    """The last spot at or left of `x`; the spline's start if there is none."""
    after = float(len(pieces))
    for spot in reversed(_looks(len(pieces))):
        if x_at(pieces, spot) <= x:
            return _narrowed(pieces, spot, after, x)
        after = spot
    return 0.0


def stretch(pieces: Sequence[Curve], start: float, end: float) -> tuple[Curve, ...]:
    """The curves between two spots; none if they are the same."""
    found: list[Curve] = []
    for index, piece in enumerate(pieces):
        low, high = max(start - index, 0.0), min(end - index, 1.0)
        if high - low > 1e-6:
            found.append(between(piece, low, high))
    return tuple(found)


def x_at(pieces: Sequence[Curve], spot: float) -> float:
    """The x of a spot."""
    index = min(int(spot), len(pieces) - 1)
    t = spot - index
    (a, _), (b, _), (c, _), (d, _) = pieces[index]
    rest = 1 - t
    return rest**3 * a + 3 * rest * rest * t * b + 3 * rest * t * t * c + t**3 * d


def _looks(count: int) -> list[float]:
    return [i / SAMPLES for i in range(count * SAMPLES + 1)]


def _narrowed(pieces: Sequence[Curve], low: float, high: float, x: float) -> float:
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if x_at(pieces, middle) < x else (low, middle)
    return (low + high) / 2
