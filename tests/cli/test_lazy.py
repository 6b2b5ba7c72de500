"""Commands load only what they need, so that a word of help comes at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from support_cli import GOOD

HEAVY = ["highspy", "networkx", "numpy", "scipy", "reportlab", "jsonschema", "jsonschema_rs",
         "pypdfium2", "rich", "matplotlib", "graphviz", "pygraphviz", "PIL"]  # fmt: skip
COMMANDS = ["--help", "--version", "rules", "rules socket-used-twice", "check -h", "new", "keys",
            "load -h", "timeline -h", "equalise -h", "endurance -h", "leads -h"]  # fmt: skip
SOLVING = {
    "check good.yaml": ["jsonschema_rs", "networkx", "numpy"],
    "check good.yaml --format sarif": ["jsonschema_rs", "networkx", "numpy"],
    "load good.yaml": ["jsonschema_rs", "networkx", "numpy"],
}
"""A plan is judged by jsonschema-rs, networkx answers what is asked of the graph, and a small
harness is solved with numpy alone."""
LOADED = """
import sys
sys.argv = ["harness", *sys.argv[1:]]
from harness.cli.main import main
try:
    main()
finally:
    tops = {name.partition(".")[0] for name in sys.modules}
    print("LOADED", *sorted(tops), file=sys.stderr)
"""


def loaded(args: str, folder: Path) -> set[str]:
    """Return the top-level modules that a command has loaded when it ends."""
    (folder / "good.yaml").write_text(GOOD)
    line = [sys.executable, "-c", LOADED, *args.split()]
    done = subprocess.run(line, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(done.stderr.splitlines()[-1].split()[1:])


@pytest.mark.parametrize("args", COMMANDS)
def test_nothing_heavy_is_loaded(args: str, tmp_path: Path) -> None:
    found = loaded(args, tmp_path)
    assert "argparse" in found
    assert sorted(found & set(HEAVY)) == []


@pytest.mark.parametrize("args", SOLVING)
def test_a_small_harness_needs_no_more(args: str, tmp_path: Path) -> None:
    assert sorted(loaded(args, tmp_path) & set(HEAVY)) == SOLVING[args]


@pytest.mark.parametrize("args", ["--help", "--version"])
def test_help_loads_no_reader_either(args: str, tmp_path: Path) -> None:
    assert not {"yaml", "hashlib", "csv"} & loaded(args, tmp_path)


def test_the_package_itself_loads_nothing() -> None:
    code = "import sys, harness; print(len([m for m in sys.modules if m.startswith('harness')]))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "1\n"
