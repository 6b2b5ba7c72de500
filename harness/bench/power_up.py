"""Tests of the first power-up and of the rail: what flows, and how many volts stay."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.near import spoken
from harness.base.units import CURRENT, VOLTAGE
from harness.bench.leads_and_supplies import sags
from harness.bench.protocol import BenchTest, Section, Word, band
from harness.bench.workbench import CORNERS, REST, STIRRED, Bench, by_id
from harness.electrics.gear.power_up import power_up_warning
from harness.electrics.sampling import MEASURED, METERED
from harness.facts.motion import turning
from harness.parts.esc import Esc
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.plan.plan import Plan

HELD = "the model held or on a stand, never on its wheels"


def centred(bench: Bench) -> Section:
    """Servos are centred before their arms are fitted."""
    servos = by_id(servo for servo in bench.plan.of(Servo) if not servo.as_made)
    if not servos:
        return Section("Servos centred", ())
    pulse = bench.rule("pulse", "centre")
    test = BenchTest(
        "servos-centred",
        "every servo is centred on a servo tester, plugged into nothing else, before its arm is"
        " fitted",
        Word(),
        f"{pulse.number:g} us at the centre ({pulse.origin})",
        "take the arm off, centre the servo on the tester, fit the arm square to it",
        (),
        "off",
        tuple(servo.id for servo in servos),
    )
    return Section("Servos, before their arms are fitted", (test,))


def power_up(bench: Bench) -> Section:
    """The current of everything at rest, and the volts of every rail."""
    fuse = bench.rule("power-up", "fuse")
    tests = [*_rest(bench), *_rails(bench, REST)]
    about = f"transmitter on first, then the pack, through a {fuse.number:g} A fuse or a limited"
    about += f" supply ({fuse.origin}); {turning(bench.plan).off}"
    about += ", legs clear of the bench" if any(bench.plan.of(Retract)) else ""
    said = filter(None, (about, power_up_warning(bench.wiring)))
    return Section("First power-up", tuple(tests), "; ".join(said))


def fuse_out(bench: Bench) -> Section:
    """The fuse of the first power-up comes out before anything draws more than it bears."""
    fuse, later = bench.rule("power-up", "fuse"), drawing_more(bench.plan)
    packs = by_id(bench.plan.of(Pack))
    if not packs or not later:
        return Section("Fuse out", ())
    test = BenchTest(
        "fuse-out",
        f"pack off, the {fuse.number:g} A fuse or limited supply taken out, then"
        f" {spoken(p.named() for p in packs)} plugged in as in the plan",
        Word(),
        f"{later} may draw more than {fuse.number:g} A: a fuse that blows takes the supply"
        f" from the radio too ({fuse.origin})",
        "take it out before you go on, and keep it for the next first power-up",
        (),
        "off",
        tuple(pack.id for pack in packs),
        bench.codes(pack.id for pack in packs),
    )
    return Section("Fuse out, before anything draws more", (test,))


def drawing_more(plan: Plan) -> str:
    """Return what comes after the first power-up and draws more than its fuse bears; or ""."""
    words = {
        "the gear": any(plan.of(Retract)),
        "the motors": any(plan.of(Esc)),
        "all servos together": any(plan.of(Servo)),
    }
    return spoken(word for word, there in words.items() if there)


def _rest(bench: Bench) -> Iterator[BenchTest]:
    """At rest every class gives the largest current of its kind: less is no fault."""
    fuse = bench.rule("power-up", "fuse")
    for pack in by_id(bench.plan.of(Pack)):
        found = bench.solved.given(pack.id, REST) if bench.solved else None
        if found is None:
            continue
        most = max(found[1], 0.0) * (1 + MEASURED.number)
        within = band(
            CURRENT,
            None,
            max(fuse.number, most),
            (0.0, most),
            f"the solved network, packs full: {CORNERS}; and {MEASURED.origin}",
        )
        yield BenchTest(
            f"rest-amps.{pack.id}",
            f"current of {pack.named()} with everything at rest",
            within,
            f"the fuse of the first power-up must hold: {fuse.number:g} A ({fuse.origin})",
            "pull the pack at once: look for a servo that hums or is held fast, a turned plug, a"
            " lead crushed in a joint",
            ("what an ESC's own electronics draw the plan does not count",),
            "off",
            (pack.id,),
            bench.codes([pack.id]),
        )


def stirred(bench: Bench) -> Section:
    """The rails once more, with every surface on the sticks moving."""
    time = bench.rule("power-up", "stir-time")
    about = f"both sticks round and round for {time.number:g} s ({time.origin}); read the lowest"
    tests = tuple(_rails(bench, STIRRED)) if by_id(bench.plan.of(Servo)) else ()
    return Section("Sticks stirred", tests, about)


def _rails(bench: Bench, case: str) -> Iterator[BenchTest]:
    parts = bench.plan.parts.values()
    for box in by_id(p for p in parts if p.has_channels or (p.sequences and case == REST)):
        for inside in ("logic", "rail") if box.sets_outputs else ("rail",):
            test = _rail(bench, box, inside, case)
            if test is not None:
                yield test


def _rail(bench: Bench, box: Part, inside: str, case: str) -> BenchTest | None:
    if bench.solved is None:
        return None
    found, idle = (bench.solved.volts(box.id, inside, each) for each in (case, REST))
    if found is None or idle is None:
        if inside == "rail" or not box.sets_outputs:
            bench.missing(f"{box.id}: the volts of its {inside}, as nothing that is known feeds it")
        return None
    own = box.known(bench.plan.catalogue, "volts-min") if inside == "logic" else None
    least = own or bench.rule("rail", "minimum")
    stem = f"{inside}-rest" if case == REST else f"{inside}-stirred"
    meter = METERED.number
    usual = found[0] * (1 - meter), found[1] * (1 + meter)
    within = band(
        VOLTAGE, least.number, idle[1] * (1 + meter), usual, f"{CORNERS}; and {METERED.origin}"
    )
    return BenchTest(
        f"{stem}.{box.id}",
        f"volts on the {inside} of {box.named()}, {case}",
        within,
        f"at least {least.number:g} V ({least.origin}), and no more than at rest; {CORNERS}",
        sags(bench),
        ("with a meter in a free socket, or by telemetry",),
        "off",
        (box.id,),
    )
