"""Where a part sits in the aeroplane."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import LENGTH
from harness.reading.amounts import Amount
from harness.reading.kinds import Kind
from harness.reading.records import RecordOf, key


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A position in the aeroplane, in mm: aft of the nose, out from the centre line, up."""

    aft: float = key(Amount(LENGTH), "how far behind the tip of the nose", must=True)
    out: float = key(Amount(LENGTH), "how far from the centre line, on its side", default=0.0)
    up: float = key(Amount(LENGTH), "how far above the lowest point", default=0.0)
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


SPOT: Kind = RecordOf(Spot, short="aft")
