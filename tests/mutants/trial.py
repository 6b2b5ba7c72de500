"""Tries tests on a copy of the tree, in a process copied from one that has the libraries loaded."""

from __future__ import annotations

import contextlib
import gc
import importlib
import os
import resource
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

LEFT_OUT = shutil.ignore_patterns(".git", ".venv", "out", ".*_cache", ".hypothesis", "*.egg-info")
LIBRARIES = (
    "coverage highspy hypothesis jsonschema jsonschema_rs networkx numpy pypdf pytest"
    " reportlab.platypus scipy.sparse.linalg scipy.optimize scipy.sparse.csgraph yaml"
)
UNUSED = ("cacheprovider", "unraisableexception", "threadexception")
"""Plugins of pytest that write into the tree, or look for garbage for half a second."""
ELSEWHERE = 70
"""Exit code when the tests had another house than the copy: nothing they say counts."""
MEMORY = 4 << 30
"""Bytes a trial may take: a fault that eats all there is must not take the machine along."""


def load_libraries() -> None:
    """Load what the tests would load, but nothing of the house: it is read anew in each trial."""
    for name in LIBRARIES.split():
        importlib.import_module(name)
    gc.freeze()


@contextlib.contextmanager
def copy_of(root: Path) -> Iterator[Path]:
    """A copy of the tree in a temporary folder: nobody's working tree is ever a mutant."""
    with TemporaryDirectory(prefix="mutants-") as folder:
        copy = Path(folder, "tree")
        shutil.copytree(root, copy, ignore=LEFT_OUT, symlinks=True)
        yield copy


@contextlib.contextmanager
def mutated(path: Path, text: str) -> Iterator[None]:
    """The file with other words; a later date, so that what is compiled of it is not believed."""
    old, stat = path.read_text(), path.stat()
    path.write_text(text)
    os.utime(path, (stat.st_atime, stat.st_mtime + 10))
    try:
        yield
    finally:
        path.write_text(old)
        os.utime(path, (stat.st_atime, stat.st_mtime))


def forked(tree: Path, job: Callable[[], int], most: float) -> int | None:
    """The exit code of a job in a process of its own in that tree; None when it had to be stopped.

    `most` is in seconds of the clock; the plugin stops a test by its processor time long before.
    """
    pid = os.fork()
    if not pid:
        code = 3
        try:
            code = _run(tree, job)
        finally:
            os._exit(code)
    end = time.monotonic() + most
    try:
        while time.monotonic() < end:
            done, status = os.waitpid(pid, os.WNOHANG)
            if done:
                return None if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)
            time.sleep(0.02)
        return None
    finally:
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(pid, signal.SIGKILL)
        with contextlib.suppress(ChildProcessError):
            os.waitpid(pid, 0)


def _run(tree: Path, job: Callable[[], int]) -> int:
    os.setsid()
    os.chdir(tree)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    out = os.open(tree.parent / "told", os.O_CREAT | os.O_TRUNC | os.O_WRONLY)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(out, 1)
    os.dup2(out, 2)
    os.environ["PYTHONPATH"] = str(tree)
    sys.path[:] = [str(tree), *(p for p in sys.path if Path(p or ".").resolve().name != "tests")]
    return job()


def pytest_run(tree: Path, files: list[str], plugin: Any) -> int:
    """Pass the files' tests as `plugin` wants them; pytest's own exit code, or ELSEWHERE."""
    import pytest

    words = ["-x" if plugin.first_failure else "--color=no", "-q", "-n0", "--hypothesis-seed=0"]
    words += [
        f"-pno:{name}" for name in ("cacheprovider", "unraisableexception", "threadexception")
    ]
    words += [f"--basetemp={tree.parent / 'tmp'}", "--tb=line", *files]
    code = int(pytest.main(words, plugins=[plugin]))
    house = sys.modules.get("harness")
    strange = (
        house is not None and tree.resolve() not in Path(str(house.__file__)).resolve().parents
    )
    return ELSEWHERE if strange else code
