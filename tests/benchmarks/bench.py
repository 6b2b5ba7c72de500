"""Time as ratios to floors measured in the same run, interleaved, medians of several rounds.

    python tests/benchmarks/bench.py [--rounds 15]

Ratios travel between machines better than seconds. The aims stand beside them; the script says
which are missed, and leaves with 1 when any is.
"""

from __future__ import annotations

import argparse
import importlib
import math
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from typing import Any

from bigplan import clean_plan

ROOT = Path(__file__).parents[2]
HEADLINE = ROOT / "examples" / "saltmarsh-19.yaml"
PROGRAM = (sys.executable, "-m", "harness")
LISTED = """
import sys
sys.argv = ["harness", "check", sys.argv[1]]
from harness.cli.main import main
try:
    main()
finally:
    print(*sys.modules, file=sys.stderr)
"""
IMPORTS = """
import importlib, sys
for name in open(sys.argv[1]).read().split():
    importlib.import_module(name)
"""


def timed(job: Callable[[], object]) -> float:
    """Return the seconds one job takes."""
    start = time.perf_counter()
    job()
    return time.perf_counter() - start


def process(*line: str) -> Callable[[], object]:
    """Return a job that runs a program and waits."""
    return lambda: subprocess.run(line, capture_output=True, check=True)


def interleaved(rounds: int, *jobs: Callable[[], object]) -> list[float]:
    """Return the median of each job; one round runs every job once, so that load falls on all."""
    times = [[timed(job) for job in jobs] for _ in range(rounds + 1)][1:]
    return [median(column) for column in zip(*times, strict=True)]


def told(what: str, ratio: float, aim: float, floor: str) -> bool:
    """Print one line, and return whether the aim is met."""
    word = "" if ratio <= aim else "   MISSED"
    print(f"{what:<44} {ratio:5.2f} times {floor:<30} aim {aim:g}{word}", flush=True)
    return ratio <= aim


def counted(*line: str) -> int:
    """Return how many instructions a process takes, as valgrind counts them: no load matters."""
    with tempfile.TemporaryDirectory() as folder:
        tool = ["valgrind", "--tool=callgrind", f"--callgrind-out-file={folder}/out"]
        env = {**os.environ, "PYTHONHASHSEED": "0", "OPENBLAS_NUM_THREADS": "1"}
        done = subprocess.run([*tool, *line], capture_output=True, text=True, check=True, env=env)
    return int(re.findall(r"Collected : (\d+)", done.stderr)[0])


def instructions(rounds: int) -> bool:
    """Compare what `check` and `--help` take with a bare start of Python, by instructions.

    The aim of `check` is half of 70.6 starts, what it took before it was made faster to start.
    """
    if shutil.which("valgrind") is None:
        print("instructions: not counted, there is no valgrind")
        return True
    bare = counted(sys.executable, "-c", "pass")
    checked = counted(*PROGRAM, "check", str(HEADLINE)) / bare
    helped = counted(*PROGRAM, "--help") / bare
    met = told("harness check, instructions", checked, 35.3, "python -c pass")
    return met & told("harness --help, instructions", helped, 3.0, "python -c pass")


def check_against_its_imports(rounds: int) -> bool:
    """Compare `harness check` with importing the modules that it loads, as anybody does."""
    line = [sys.executable, "-c", LISTED, str(HEADLINE)]
    done = subprocess.run(line, capture_output=True, text=True, check=True)
    names = [n for n in done.stderr.split() if not n.startswith("__") and n != "harness.__main__"]
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as listed:
        listed.write("\n".join(name for name in names if importable(name)))
        listed.flush()
        check, floor = interleaved(
            rounds,
            process(*PROGRAM, "check", str(HEADLINE)),
            process(sys.executable, "-c", IMPORTS, listed.name),
        )
    return told("harness check on the headline plan", check / floor, 1.5, "its bare imports")


def check_against_the_card(rounds: int) -> bool:
    """Compare `harness check` with a process that only imports the three libraries of its job."""
    three = process(sys.executable, "-c", "import jsonschema_rs, networkx, yaml")
    check, floor = interleaved(rounds, process(*PROGRAM, "check", str(HEADLINE)), three)
    what = "importing yaml, jsonschema-rs, networkx"
    return told("harness check on the headline plan", check / floor, 1.5, what)


def importable(name: str) -> bool:
    """Return whether a module that was loaded can be loaded by its name."""
    try:
        importlib.import_module(name)
    except ImportError:
        return False
    return True


def help_against_python(rounds: int) -> bool:
    """Compare `harness --help` with an interpreter that does nothing."""
    bare = process(sys.executable, "-c", "pass")
    ours, floor = interleaved(rounds, process(*PROGRAM, "--help"), bare)
    return told("harness --help", ours / floor, 3.0, "python -c pass")


def judged(text: str) -> Callable[[], Any]:
    """Return a job that reads and checks a plan."""
    from harness.base.span import Source
    from harness.plan.load import parse_plan
    from harness.rules.run import check

    return lambda: check(parse_plan(Source("plan.yaml", text)))


def built(text: str) -> Any:
    """Return the wiring of a plan."""
    from harness.base.span import Source
    from harness.plan.load import parse_plan
    from harness.wiring.build import build

    return build(parse_plan(Source("plan.yaml", text)))


def growth(rounds: int) -> bool:
    """Compare the time on plans of 30, 300 and 3,000 parts with n log n from the smallest."""
    good, floor = True, 0.0
    for wanted in (30, 300, 3000):
        text, parts = clean_plan(HEADLINE, wanted)
        job = judged(text)
        (seconds,) = interleaved(1 if wanted == 3000 else rounds, job)
        per = seconds / (parts * math.log(parts))
        floor = floor or per
        good &= told(f"check of {parts} parts, {seconds:.3f} s", per / floor, 1.5, "n log n")
        good &= wanted < 3000 or told("check of 3,000 parts", seconds, 5.0, "a second")
    return good


def network(rounds: int) -> bool:
    """Compare solving every case of the headline plan with ngspice, one process a case."""
    from harness.electrics.cases import cases_of
    from harness.electrics.network import network_of
    from harness.electrics.outcome import outcome_of
    from harness.electrics.spice import netlist

    wiring = built(HEADLINE.read_text("utf-8"))
    cases = cases_of(wiring.plan)
    net, one = network_of(wiring, cases), [c for c in cases if c.name == "hard-manoeuvre"]
    with tempfile.TemporaryDirectory() as folder:
        decks = [Path(folder) / f"{number}.cir" for number in range(len(cases))]
        for number, deck in enumerate(decks):
            deck.write_text(netlist(net, number), "utf-8")

        def simulated() -> None:
            for deck in decks:
                subprocess.run(["ngspice", "-b", deck], capture_output=True, check=True)

        single, every, theirs = interleaved(
            rounds, lambda: outcome_of(wiring, one), lambda: outcome_of(wiring), simulated
        )
    count = len(cases)
    met = told(
        f"all {count} cases, {every * 1000:.1f} ms", every / theirs, 0.1, "ngspice, each case"
    )
    met &= told(f"all {count} cases", every / 0.1, 1.0, "a tenth of a second")
    return met & told(f"one case alone, {single * 1000:.1f} ms", single * count / theirs, 1.0,
                      "an ngspice process")  # fmt: skip


def network_growth(rounds: int) -> bool:
    """Compare solving a case on plans of 30, 300 and 3,000 parts with growth in proportion."""
    from harness.electrics.cases import cases_of
    from harness.electrics.outcome import outcome_of

    good, floor = True, 0.0
    for wanted in (30, 300, 3000):
        text, parts = clean_plan(HEADLINE, wanted)
        wiring = built(text)
        cases = cases_of(wiring.plan)
        one = [case for case in cases if case.name == "hard-manoeuvre"]
        some = 3 if wanted == 3000 else rounds
        seconds, all_cases = interleaved(
            some, lambda w=wiring, c=one: outcome_of(w, c), lambda w=wiring: outcome_of(w)
        )
        per = seconds / parts
        floor = floor or per
        good &= told(f"a case of {parts} parts, {seconds:.3f} s", per / floor, 1.5, "n")
    return good & told(f"all {len(cases)} cases of 3,000 parts", all_cases, 2.0, "a second")


def tolerance(rounds: int) -> bool:
    """Compare 1,000 draws of the headline plan in every case with as many solves one by one."""
    from harness.electrics.outcome import outcome_of
    from harness.electrics.tolerance import tolerance_of

    wiring = built(HEADLINE.read_text("utf-8"))
    drawn, single = interleaved(
        max(1, rounds // 5), lambda: tolerance_of(wiring, draws=1000), lambda: outcome_of(wiring)
    )
    return told(f"1,000 draws, {drawn:.1f} s", drawn / (1000 * single), 0.5, "drawing one by one")


def used() -> float:
    """Return the processor time of this process and of its children that have ended, s."""
    found = map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in found)


def drawing(rounds: int) -> bool:
    """Compare drawing the headline's run with Graphviz alone on the same texts, and 0.1 s more.

    Both start Graphviz afresh. Processor time, of this process and its children, the least of all
    rounds: this is short enough for the load of a machine to drown it.
    """
    from harness.diagram import ViewWish, draw_pages, render
    from harness.drawing import layout

    report = judged(HEADLINE.read_text("utf-8"))()
    asked: list[Sequence[str]] = []
    usual = layout.run_graphviz

    def noted(dots: Sequence[str]) -> list[str]:
        asked.append(dots)
        return usual(dots)

    def spent(job: Callable[[], object]) -> float:
        layout.dismiss()
        before = used()
        job()
        layout.dismiss()
        return used() - before

    def draw() -> None:
        render(draw_pages(report, ViewWish(view="run")), "svg", "A4")

    layout.run_graphviz = noted
    draw()
    layout.run_graphviz = usual
    ours, floor = map(min, zip(
        *((spent(draw), spent(lambda: [usual(dots) for dots in asked])) for _ in range(rounds)),
        strict=True))  # fmt: skip
    what = f"drawing, {ours * 1000:.0f} ms, {ours / floor:.1f} times Graphviz"
    return told(what, ours / (1.3 * floor + 0.1), 1.0, "1.3 Graphviz and 100 ms")


def main() -> int:
    """Run every comparison."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=15)
    rounds = parser.parse_args().rounds
    jobs = (
        instructions,
        check_against_its_imports,
        check_against_the_card,
        help_against_python,
        growth,
        network,
        network_growth,
        tolerance,
        drawing,
    )
    met = [job(rounds) for job in jobs]
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
