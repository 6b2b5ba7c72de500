"""Libraries of which only a part is loaded are the same libraries.

Their own `__init__`, run as usual in another process, is the oracle.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from support_cli import GOOD

from harness.cli.lean import WHERE

ROOT = Path(__file__).parents[2]
LEAN = "import sys; from harness.cli.lean import Lean; sys.meta_path.insert(0, Lean)\n"
AFTERWARDS = """
import networkx as nx, yaml
held = {name: getattr(nx, name) for name in %r} if %r else {}
nx.pagerank, yaml.safe_load
assert all(value is getattr(nx, name) for name, value in held.items())
from yaml.reader import Reader, ReaderError
assert yaml.safe_load("a: [1, 2001-01-01, no]")["a"][2] is False
try:
    Reader("a\\x01")
except ReaderError as error:
    print(error.reason)
import numpy
print(numpy.ma.array([1.5]).sum(), nx.config, nx.is_planar(nx.complete_graph(5)))
print(*sorted(dir(nx)), *sorted(dir(yaml)), *sorted(dir(nx.algorithms)), *sorted(dir(numpy)))
"""
CHECKED = """
sys.argv = ["harness", "check", sys.argv[1]]
from harness.cli.main import main
try:
    main()
finally:
    print(*sys.modules, file=sys.stderr)
"""


def ran(code: str, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run a script in a process of its own."""
    line = [sys.executable, "-c", code, *words]
    return subprocess.run(line, capture_output=True, text=True, check=False, cwd=ROOT,
                          env={"PYTHONPATH": str(ROOT), **env})  # fmt: skip


def test_a_name_that_is_not_held_brings_the_whole_library() -> None:
    usual, lean = ran(AFTERWARDS % ([], False)), ran(LEAN + AFTERWARDS % (sorted(WHERE), True))
    assert (usual.returncode, lean.returncode) == (0, 0), usual.stderr + lean.stderr
    assert lean.stdout == usual.stdout
    assert len(usual.stdout.split()) > 1000


def test_libraries_of_long_commands_load_beside_it() -> None:
    others = "import scipy.sparse.linalg, matplotlib.pyplot, highspy, reportlab.platypus, PIL.Image"
    done = ran(LEAN + others)
    assert done.returncode == 0, done.stderr


def names_of(path: Path) -> set[str]:
    """Return the names of networkx that a module uses."""
    tree = ast.parse(path.read_text("utf-8"))
    called = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
        if alias.name == "networkx"
    }
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == "networkx":
            found |= {alias.name for alias in node.names}
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            found |= {node.attr} if node.value.id in called else set()
    return found


def test_every_name_of_networkx_that_is_used_is_held_and_no_other() -> None:
    used = set().union(*(names_of(path) for path in (ROOT / "harness").rglob("*.py")))
    own = {"_dispatchable", "_clear_cache", "NetworkXError"}  # networkx asks itself for these
    assert used | own == set(WHERE)


def test_a_check_loads_a_part_only(tmp_path: Path) -> None:
    (tmp_path / "good.yaml").write_text(GOOD)
    done = ran("import sys" + CHECKED, str(tmp_path / "good.yaml"))
    assert done.returncode == 0, done.stderr
    loaded = done.stderr.splitlines()[-1].split()
    assert len([name for name in loaded if name.startswith("networkx")]) < 45
    assert not {"importlib.metadata", "yaml.resolver", "networkx.generators"} & set(loaded)


@pytest.mark.parametrize("priority", ["", "other"])
def test_no_other_program_answers_for_networkx(tmp_path: Path, priority: str) -> None:
    (tmp_path / "good.yaml").write_text(GOOD)
    info = tmp_path / "other-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: other\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text("[networkx.backends]\nother = nowhere:there\n")
    env = {"PYTHONPATH": f"{ROOT}:{tmp_path}", "NETWORKX_BACKEND_PRIORITY": priority}
    line = [sys.executable, "-m", "harness", "check", str(tmp_path / "good.yaml")]
    done = subprocess.run(line, capture_output=True, text=True, check=False, env=env)
    assert done.returncode == 0, done.stderr
    seen = ran("import networkx as nx; print(*nx.utils.backends.backends)", **env)
    assert priority or seen.stdout == "other\n"  # it would have been asked
