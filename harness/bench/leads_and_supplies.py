"""Tests before anything is fitted: leads, supplies, packs."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.near import spoken
from harness.base.units import CURRENT, VOLTAGE
from harness.bench.protocol import BenchTest, Edit, Section, Word, band, percent
from harness.bench.workbench import Bench, by_id
from harness.electrics.packs import joined_groups, rest_volts
from harness.electrics.sampling import METERED
from harness.facts.motion import turning
from harness.parts.bec import Bec, supply_figure
from harness.parts.breaker import WIRES_OF
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.parts.lead import Lead
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.regulator import Regulator
from harness.parts.sensor import Sensor
from harness.parts.switch import Switch
from harness.parts.wing_plug import WingPlug

PRACTICE = "common practice, no published source"
NEW_LEAD = "do not mend it: put a new lead in its place and meter that one too; a wrong one is"
NEW_LEAD += " common even new"


def sags(bench: Bench) -> str:
    """Say what to do when a rail has too few volts."""
    switch = " or switch" if any(bench.plan.of(Switch)) else ""
    return (
        "do not fly: measure again at the supply itself; volts lost on the way are a worn plug"
        f"{switch}, or thin wire; volts missing at the supply are a supply that is too weak"
    )


def leads(bench: Bench) -> Section:
    """Every separate lead, metered end to end."""
    tests = [_lead(bench, part) for part in by_id(bench.plan.of(Lead))]
    tests += [_wing(bench, part) for part in by_id(bench.plan.of(WingPlug))]
    tests += [_power(bench, part) for part in by_id(bench.plan.of(PowerLead))]
    tests += [_line(bench, part) for part in by_id(bench.plan.of(Sensor)) if part.through]
    about = "with an ohm meter, nothing plugged in: red to red, black to black, pale to pale at"
    about += " every socket, and no contact between two pins"
    return Section("Leads, before anything is fitted", tuple(tests), about)


def _lead(bench: Bench, lead: Lead) -> BenchTest:
    count = len(lead.outlets)
    how = {0: "", 1: "", 2: ", both sockets"}.get(count, f", all {count} sockets")
    if lead.kind == "reverser":
        how = ": red to red and black to black; its pale wire ends in its box"
    elif lead.map or lead.ends:
        how += ": pin by pin as the plan has it"
    about = ("metered before, says the plan",) if lead.tested else ()
    return BenchTest(
        f"lead.{lead.id}",
        f"{lead.lead_word()} {lead.id} is right end to end{how}",
        Word(),
        PRACTICE,
        NEW_LEAD,
        about,
        "",
        (lead.id,),
        bench.codes([lead.id]),
    )


def _wing(bench: Bench, plug: WingPlug) -> BenchTest:
    how = tuple(
        f"{name}: signal {c.signal}, positive {c.positive}, negative {c.negative}"
        for name, c in plug.circuits.items()
    )
    return BenchTest(
        f"lead.{plug.id}",
        f"wing plug {plug.id} is right from both sides, by its pin table",
        Word(),
        f"plan line {plug.at('circuits').line}",
        "find the pin that is wrong, solder it anew, and meter all of them again",
        how,
        "",
        (plug.id,),
        bench.codes([plug.id]),
    )


def _power(bench: Bench, lead: PowerLead) -> BenchTest:
    ways = {
        "series": "the plus of the lower pack's plug meets the minus of the upper one, and the two"
        " outer poles reach the socket",
        "jumper": "it bridges its two contacts",
        "arming": f"it closes the {WIRES_OF[lead.pole]} when fitted, and opens it when out",
    }
    crossed = "plus to minus, as this adapter is meant to" if lead.crossed else "plus to plus"
    what = ways.get(lead.kind, f"{crossed} at every end, and no contact between the poles")
    return BenchTest(
        f"lead.{lead.id}",
        f"power lead {lead.id} is right: {what}",
        Word(),
        PRACTICE,
        "do not plug a pack in: solder the connector anew with its poles right, and meter again",
        (),
        "",
        (lead.id,),
        bench.codes([lead.id]),
    )


def _line(bench: Bench, sensor: Sensor) -> BenchTest:
    return BenchTest(
        f"lead.{sensor.id}",
        f"the line through sensor {sensor.id} is right: plus to plus and minus"
        " to minus, and no contact between the poles",
        Word(),
        PRACTICE,
        "do not plug a pack in: send it back, or solder its connectors anew, and meter again",
        (),
        "",
        (sensor.id,),
        bench.codes([sensor.id]),
    )


def supplies(bench: Bench) -> Section:
    """Every BEC and regulator at no load, and every red pin that must be out."""
    makers: list[Esc | Regulator] = [*bench.plan.of(Esc), *bench.plan.of(Regulator)]
    tests: list[BenchTest] = []
    for part in by_id(makers):
        if part.makes is not None:
            tests.append(_volts(bench, part))
        tests += _pulled(bench, part)
    about = f"each on its pack, its plug in no receiver; {turning(bench.plan).off}"
    return Section("Supplies, before the receiver sees them", tuple(tests), about)


def _volts(bench: Bench, part: Esc | Regulator) -> BenchTest:
    bec = part.makes
    assert bec is not None
    spread = supply_figure(part, bench.plan.catalogue, "tolerance")
    spread = spread or bench.rule("metered", "allowance")
    within = band(VOLTAGE, bec.volts * (1 - spread.number), bec.volts * (1 + spread.number))
    line = bec.spans["volts"].line if "volts" in bec.spans else part.span.line
    how = [f"the plan has {bec.metered:g} V as metered"] if bec.metered is not None else []
    how += ["its red pin comes out in this plan: meter it before"] if pulled_out(part) else []
    edit = Edit(
        part.id,
        "metered",
        part.span.line,
        "bec" if part.drives else "",
        bec.metered,
        _beside(bec) if part.drives else (),
    )
    return BenchTest(
        f"bec-volts.{part.id}",
        f"volts of {part.maker} without load",
        within,
        f"{bec.volts:g} V (plan line {line}) within {percent(spread.number)} ({spread.origin})",
        "do not plug it into the receiver: set it right, or replace it; a supply that gives more"
        " than its label burns everything on the rail",
        tuple(how),
        "off",
        (part.id,),
        bench.codes([part.id]),
        edit,
    )


def _beside(bec: Bec | Regulator) -> tuple[str, ...]:
    """Return what the plan says of a BEC but its metered volts, as the plan writes it."""
    amounts = (
        ("volts", bec.volts, VOLTAGE),
        ("rated", bec.rated, CURRENT),
        ("burst", bec.burst, CURRENT),
    )
    kind = [f"kind: {bec.kind}"] if bec.kind else []
    return (
        *kind,
        *(
            f"{word}: {number:.9g} {dimension.unit}"
            for word, number, dimension in amounts
            if number is not None
        ),
    )


def pulled_out(part: Part) -> bool:
    """Say whether the red pin is out of every plug of a supply."""
    joins = [join for name, join in part.joins() if name.startswith("plug")]
    return bool(joins) and all("positive" in join.pulled for join in joins)


def _pulled(bench: Bench, part: Esc | Regulator) -> Iterator[BenchTest]:
    """A red pin that is out on an ESC without a BEC is of no account."""
    if part.makes is None or not pulled_out(part):
        return
    yield BenchTest(
        f"red-pin-out.{part.id}",
        f"RED OUT: the red pin of {part.named()} is out of its plug and insulated: no volts between"
        " red and black there; the black stays in",
        Word(),
        f"plan line {part.at('plug').line}",
        "slide the pin out and insulate it: two supplies on one rail fight, and one burns",
        (),
        "off",
        (part.id,),
        bench.codes([part.id]),
    )


def packs(bench: Bench) -> Section:
    """Every pack charged, and what lies side by side equal."""
    tests = [_pack(bench, p) for p in by_id(bench.plan.of(Pack))]
    for group in joined_groups(bench.wiring):
        tests += _equal(bench, group)
    return Section("Packs, charged for the test", tuple(tests), "at rest, joined to nothing")


def _pack(bench: Bench, pack: Pack) -> BenchTest:
    """A charged pack: from the fresh charge of the cases up to what its cells have when full."""
    least = bench.rule("cases", "fresh-charge")
    low, top = rest_volts(bench.plan, pack, least.number), rest_volts(bench.plan, pack, 1.0)
    full = from_catalogue(bench.plan.catalogue, "packs", pack.chemistry, "full")
    origin = f"{pack.cells} cells of {pack.chemistry}, from {percent(least.number)} charged to full"
    origin += f" ({full.origin}) and {percent(METERED.number)} ({METERED.origin})" if full else ""
    return BenchTest(
        f"pack-volts.{pack.id}",
        f"volts of {pack.named()} at its connector",
        band(VOLTAGE, low, top * (1 + METERED.number)),
        origin,
        "too low: charge it, then meter each cell at the balance plug; too high or a cell apart"
        " from the others: do not use it, and look at the charger's setting",
        ("black to minus: the meter shows no minus sign",),
        "",
        (pack.id,),
        bench.codes([pack.id]),
    )


def _equal(bench: Bench, group: tuple[Pack, ...]) -> Iterator[BenchTest]:
    """Each pack of a ring against the first; stacks side by side are compared as stacks by hand."""
    limit, first = bench.rule("parallel", "warning"), group[0]
    if len({pack.cells for pack in group}) > 1:
        bench.missing(f"{spoken(p.id for p in group)}: equal volts, as their cell counts differ")
        return
    for pack in group[1:]:
        most = limit.number * pack.cells
        yield BenchTest(
            f"pack-equal.{first.id}.{pack.id}",
            f"volts between packs {first.id} and {pack.id} before they are joined",
            band(VOLTAGE, None, most),
            f"{limit.number:g} V a cell, {pack.cells} cells ({limit.origin})",
            "do not join them: charge both full, or let them come together through a charger;"
            " joined apart they push large currents into each other",
            ("meter both, write the difference",),
            "",
            (first.id, pack.id),
            bench.codes([first.id, pack.id]),
        )
