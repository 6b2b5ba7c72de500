"""The gear on the transmitter sheet: what each position of the switch does, and when."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.base.units import TIME, format_quantity
from harness.bench.gear import lines_of
from harness.bench.power_up import leg_warning, loose_legs
from harness.bench.workbench import Bench
from harness.electrics.gear.timeline import TimeLine
from harness.paper.blocks import BLANK, Block
from harness.paper.tables import noted, table
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.wiring.gear import DIRECTIONS


def gear_blocks(bench: Bench) -> Iterator[Block]:
    """Yield a table of switch positions for every function with legs or a sequencer."""
    for function, line in lines_of(bench, DIRECTIONS).items():
        rows = ((f"switch {way}", BLANK, _events(line, way)) for way in DIRECTIONS)
        columns = ("position", "written on the switch", "what happens")
        yield table(f"Positions of {function}", columns, rows,
                    "In seconds from the switch, as the time line has it.")  # fmt: skip
        yield from noted(f"When the supply comes on ({function})", _powered(bench, line))
        yield from noted(f"Steering ({function})", _steered(bench, line))


def _events(line: TimeLine, way: str) -> str:
    """Say when each part has arrived, parts that arrive together at once."""
    found: dict[tuple[float, str], list[str]] = {}
    for event in line.run(way).events:
        if event.what.startswith("is ") and event.what != "is switched off":
            found.setdefault((event.time, event.what), []).append(event.part)
    return "; ".join(
        f"{format_quantity(time, TIME)} {', '.join(parts)} {what.removeprefix('is ')}"
        for (time, what), parts in sorted(found.items())
    )


def _powered(bench: Bench, line: TimeLine) -> Iterator[str]:
    means = {
        "holds": "holds until the switch is moved",
        "follows": "runs at once to where the switch stands: look at the switch before the supply",
        "down": "lowers the gear by itself",
        "up": "raises the gear by itself: never switch on standing on the wheels",
        "": "does something that the plan does not tell: try it on a stand",
    }
    for name in line.boxes:
        box = bench.plan.parts[name]
        assert isinstance(box, Sequencer)
        yield f"{name}: {means[box.power_up]}"
    loose = [name for name in loose_legs(bench.wiring) if name in line.movers]
    if loose:
        yield leg_warning(loose)


def _steered(bench: Bench, line: TimeLine) -> Iterator[str]:
    for name in line.movers:
        leg = bench.plan.parts[name]
        if isinstance(leg, Retract) and leg.steered_by:
            locked = "is centred or cut off while the gear is up; set that up in the transmitter"
            free = "has no lock stated: it must not turn while the gear is up"
            yield f"{leg.steered_by} on {name}: {locked if leg.steering_lock else free}"


def gear_data(bench: Bench) -> list[dict[str, Any]]:
    """Return the same for JSON."""
    return [
        {
            "function": function,
            "positions": [
                {
                    "switch": way,
                    "events": [
                        {"time_seconds": e.time, "part": e.part, "what": e.what}
                        for e in line.run(way).events
                    ],
                }
                for way in DIRECTIONS
            ],
        }
        for function, line in lines_of(bench, DIRECTIONS).items()
    ]
