"""ngspice, an independent simulator, solves the same networks from our netlists.

Agreed before the first run, and not to be widened:

| quantity                        | must agree within | counts as zero below |
|---------------------------------|-------------------|----------------------|
| volts of every node             | 1e-6 relative     | 1e-6 V               |
| current of every source         | 1e-6 relative     | 1e-6 A               |

The floors: every device leaks 1 nA at 1 V in both programs so that no branch floats, and ngspice
itself stops at some 1e-12 A and V; below a microampere and a microvolt there is no harness.
ngspice runs with its relative tolerance at 1e-9 (`harness.electrics.spice.OPTIONS`).
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from electrics import ngspice
from electrics.circuits import Grower

from harness.electrics.network import Network
from harness.electrics.outcome import outcome_of
from harness.electrics.solver.circuit import Circuit, Consumer, Resistor, VoltSource
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.newton import DENSE
from harness.electrics.solver.solution import Solution, solve
from harness.electrics.spice import netlist, netlist_of, node_names, source_name
from harness.plan.load import load_plan
from harness.wiring.build import build

RELATIVE, VOLTS_FLOOR, AMPS_FLOOR = 1e-6, 1e-6, 1e-6
EXAMPLES = sorted(p for p in Path(__file__).parents[2].glob("examples/*.yaml") if "." not in p.stem)
SEEDS, LARGE_SEED, LARGE = range(16), 77, 70


def network(path: Path) -> Network:
    """The network as it is written out: its wires as warm as their currents make them."""
    return outcome_of(build(load_plan(str(path)))).net


def differs(ours: float, theirs: float, floor: float) -> bool:
    most = max(abs(ours), abs(theirs))
    return most > floor and abs(ours - theirs) > RELATIVE * most


def disagreements(solution: Solution, draw: int, text: str) -> list[str]:
    """Every node and source on which the two programs differ."""
    theirs, circuit = ngspice.run(text), solution.circuit
    found = []
    for node, name in node_names(circuit).items():
        a, b = float(solution.volts(node)[draw]), 0.0 if name == "0" else theirs[f"v({name})"]
        if differs(a, b, VOLTS_FLOOR):
            found.append(f"{name}: {a!r} V, ngspice {b!r} V")
    for number in range(len(circuit.sources)):
        a = float(solution.raw.source[draw, number])
        b = -theirs[f"i({source_name(circuit, number)})"]
        if differs(a, b, AMPS_FLOOR):
            found.append(f"source {number}: {a!r} A, ngspice {b!r} A")
    return found


def alone(text: str) -> str:
    """A netlist without our hint where to begin."""
    return re.sub(r"^\.nodeset .*\n", "", text, flags=re.MULTILINE)


def from_rest(circuit: Circuit, draw: int, text: str) -> str:
    """A netlist that begins with the volts while nothing is drawn: it knows nothing of ours."""
    still = [replace(c, amps=0.0, siemens=0.0, watts=0.0) for c in circuit.consumers]
    rest, names = solve(replace(circuit, consumers=still)), node_names(circuit)
    hints = [f".nodeset V({names[node]})={float(rest.volts(node)[draw])!r}\n"
             for node in rest.layout.index if names[node] != "0"]  # fmt: skip
    return alone(text).replace(".op\n", "".join(hints) + ".op\n")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_case_of_every_example_agrees(path: Path) -> None:
    net = network(path)
    solution = solve(net.circuit)
    assert not solution.trouble
    helped = 0
    for case in range(len(net.cases)):
        text = netlist(net, case)
        try:
            found = disagreements(solution, case, from_rest(net.circuit, case, text))
        except ngspice.NoOperatingPointError:
            # where to begin is all a hint says; what it ends at still has to balance for ngspice
            found, helped = disagreements(solution, case, text), helped + 1
        assert not found, (net.cases[case].name, found)
    assert helped <= 1


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_what_is_written_out_is_what_is_told(path: Path) -> None:
    """Every document tells the warm network; the same elements solved cold-handed give as much."""
    told = outcome_of(build(load_plan(str(path))))
    again = solve(told.net.circuit)
    assert told.solution.raw.source == pytest.approx(again.raw.source, rel=1e-8, abs=1e-9)
    assert told.solution.resistor == pytest.approx(again.resistor, rel=1e-7, abs=1e-8)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_netlist_as_it_is_written_runs_and_agrees(path: Path) -> None:
    net = network(path)
    solution = solve(net.circuit)
    for case in range(0, len(net.cases), 4):
        assert not disagreements(solution, case, netlist(net, case))


@pytest.mark.parametrize("seed", SEEDS)
def test_invented_harnesses_agree(seed: int) -> None:
    solution = solve(Grower(seed).grown(6))
    assert not solution.trouble
    for draw in range(2):
        assert not disagreements(solution, draw, netlist_of(solution.circuit, draw))


def test_ngspice_finds_the_same_without_our_hint_where_it_finds_anything() -> None:
    """Some networks its whole steps never settle; most it solves from nothing."""
    solved = 0
    for seed in SEEDS[:8]:
        solution = solve(Grower(seed).grown(6))
        try:
            found = disagreements(solution, 0, alone(netlist_of(solution.circuit)))
        except ngspice.NoOperatingPointError:
            continue
        assert not found, seed
        solved += 1
    assert solved >= 7


def test_a_harness_beyond_the_dense_solver_agrees() -> None:
    circuit = Grower(LARGE_SEED, draws=1).grown(LARGE)
    assert Layout.of(circuit).size > DENSE
    solution = solve(circuit)
    assert not solution.trouble
    assert not disagreements(solution, 0, netlist_of(circuit))


def test_missing_ngspice_is_a_failure_that_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setenv(ngspice.NEEDED, "1")
    with pytest.raises(pytest.fail.Exception, match="apt-get install ngspice"):
        ngspice.run("")


def test_the_comparison_sees_a_millionth() -> None:
    """The oracle's own test: a wire thicker by four millionths must not agree."""
    solution = solve(Circuit(1, [Resistor("a", "b", 1.0)], [VoltSource("b", "a", 10.0, 1.0)]))
    thicker = Circuit(1, [Resistor("a", "b", 1.0 + 4e-6)], [VoltSource("b", "a", 10.0, 1.0)])
    assert not disagreements(solution, 0, netlist_of(solution.circuit))
    assert disagreements(solution, 0, netlist_of(thicker))


def test_names_that_differ_by_case_or_sign_stay_apart() -> None:
    """SPICE knows no capitals: two parts `Rx-1` and `rx.1` must not become one node."""
    nodes = [("Rx-1", "p"), ("rx.1", "p"), "gnd", "0", "é", "1"]
    circuit = Circuit(1, [Resistor(a, b, 1.0) for a, b in pairwise(nodes)])
    circuit.sources.append(VoltSource("1", ("Rx-1", "p"), 5.0))
    names = list(node_names(circuit).values())
    assert len(set(names)) == len(nodes)
    assert names.count("0") == 1
    assert not disagreements(solve(circuit), 0, netlist_of(circuit))


def test_a_netlist_reads_like_the_plan_and_begins_with_its_title() -> None:
    net = network(EXAMPLES[-1])
    text = netlist(net, 2, ["revision 12345678", "two\nlines"])
    assert text == netlist(network(EXAMPLES[-1]), 2, ["revision 12345678", "two\nlines"])
    lines = text.splitlines()
    assert lines[0].startswith(f"{net.wiring.plan.aircraft}, {net.cases[2].name}: ")
    assert lines[1:3] == ["* revision 12345678", "* two lines"]
    assert all(f" {pack}" in text for pack in net.sources)
    assert lines[-2:] == [".op", ".end"]


def test_each_isolated_piece_has_its_zero() -> None:
    """Two circuits that share nothing: SPICE needs a path to node 0 from each."""
    circuit = Circuit(
        1, [Resistor("a", "b", 2.0), Resistor("c", "d", 3.0), Resistor("e", "f", 1.0)]
    )
    circuit.sources += [VoltSource("b", "a", 4.0), VoltSource("d", "c", 9.0)]
    circuit.consumers.append(Consumer("c", "d", watts=3.0))
    solution = solve(circuit)
    assert not disagreements(solution, 0, netlist_of(circuit))
    assert solution.between("c", "d")[0] == pytest.approx(9.0)
    assert np.isclose(solution.raw.source[0, 0], 2.0)
