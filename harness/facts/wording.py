"""How messages name joins, pins and numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sized

from harness.base.near import spoken
from harness.base.span import Span
from harness.base.units import CURRENT, VOLTAGE, format_quantity
from harness.parts.figure import Figure
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring
from harness.wiring.opens import Open

INSULATION = {"signal": "pale", "positive": "red", "negative": "black"}
"""How builders call the wire of each pin."""


def volts(number: float) -> str:
    """Write volts: "16.8 V"."""
    return format_quantity(number, VOLTAGE)


def amps(number: float) -> str:
    """Write amperes: "2.4 A"."""
    return format_quantity(round(number, 6), CURRENT)


def with_origin(text: str, figure: Figure) -> str:
    """Write a figure and where it comes from."""
    return f"{text} ({figure.origin})"


def parts_named(parts: Iterable[Part], most: int = 4) -> str:
    """Name parts in a message; past `most` only how many more there are."""
    pool = list({part.id: part for part in parts}.values())
    named = [part.named() for part in pool[:most]]
    more = len(pool) - most
    return spoken([*named, f"{more} more"] if more > 0 else named)


def joined(mate: Mate) -> str:
    """Name a plug and its socket: esc-left into pack-y.1."""
    return f"{mate.plug.short} into {mate.into}"


def verb(some: Sized, one: str = "is", many: str = "are") -> str:
    """Choose a verb by how many there are."""
    return one if len(some) == 1 else many


def quoted(names: Iterable[str]) -> str:
    """Write ids: "a", "b" and "c", each in its quotes."""
    return spoken(f'"{name}"' for name in names)


def in_plan(text: str, span: Span) -> str:
    """Write a figure as the plan states it, with its line."""
    return f"{text} (plan line {span.line})"


def volts_line(label: str, figure: Figure) -> tuple[str, str]:
    """Return one line of a finding's figures: the volts and their origin."""
    return label, with_origin(volts(figure.number), figure)


def by_cells(label: str, number: float, table: str = "catalogue packs") -> tuple[str, str]:
    """Return one line of a finding's figures: volts counted by the cells of packs."""
    return label, f"{volts(number)} (cells times nominal volts, {table})"


def _wire(pin: str) -> str:
    return pin if pin == "signal" else INSULATION.get(pin, pin)


def open_words(wiring: Wiring, places: Iterable[Open]) -> list[tuple[Span, str]]:
    """Say where there is no contact: pins that are pulled, a plug at a time; what was found so."""
    said: dict[object, tuple[Span, str]] = {}
    pulled: dict[object, list[str]] = {}
    for place in places:
        if place.found is not None or place.plug is None:
            said[place.span] = (place.span, place.meant or _found(wiring, place))
            continue
        pins = pulled.setdefault(place.plug.id, [])
        pins.append(_wire(place.pins[0]))
        which = f"the {spoken(pins)} {verb(pins, 'pin', 'pins')}"
        at = joined(wiring.by_plug[place.plug.id])
        said[place.plug.id] = (place.span, f"{which} of {at} {verb(pins)} pulled")
    return list(said.values())


def _found(wiring: Wiring, place: Open) -> str:
    found = place.found
    name = found.end if found and found.port else wiring.plan.parts[place.part].named()
    if found and found.wire:
        return f"the {_wire(found.wire)} wire of {name} was found open"
    return f"{name} was found dead"


def closing_words(places: Iterable[Open]) -> str:
    """Say how some open places are closed."""
    some = list(places)
    pins = [_wire(place.pins[0]) for place in some if place.found is None and not place.meant]
    red = [place.part for place in some if place.meant]
    found = [place.found for place in some if place.found is not None]
    back = [f"put the {spoken(pins)} {verb(pins, 'pin', 'pins')} back"] if pins else []
    ends = list(dict.fromkeys(f.end for f in found if f.port))
    leads = list(dict.fromkeys(f.end for f in found if not f.port))
    mend = [f"replace or mend {quoted(leads)}"] if leads else []
    mend += [f"mend {spoken(ends)}"] if ends else []
    told = [f"{', '.join(mend)}, and say so in the plan (mended)"] if mend else []
    told += [f"let {quoted(red)} open the red wire instead (`pole: positive`)"] if red else []
    return ", and ".join([*back, *told])


def becomes(parts: list[Part]) -> str:
    """Say what becomes of devices whose two poles are the wrong way round."""
    if parts and all(part.reverses for part in parts):
        return (
            f"{parts_named(parts)} {verb(parts, 'goes', 'go')} up when the box says down: "
            f"in the air {verb(parts, 'it stays', 'they stay')} in and"
            f" {verb(parts, 'presses', 'press')} against the stop, on the ground the gear folds"
        )
    fates = spoken(sorted({part.fed_backwards for part in parts}), "or") or "burn"
    who = parts_named(parts) or "what hangs on it"
    return (
        f"{who} {verb(parts, 'gets its', 'get their')} supply the wrong way round and will {fates}"
    )


def harmless(parts: list[Part]) -> bool:
    """Say whether crossed poles burn none of some devices."""
    return bool(parts) and all(part.reverses for part in parts)
