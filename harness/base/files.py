"""Writing files whole or not at all, and naming those of a package."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import ModuleType
from typing import BinaryIO

UNFINISHED = ".harness-unfinished"
"""What a file is called until it is whole: one name, so that the next writer of a folder finds what
a killed one left, and overwrites it."""


def modules_in(package: ModuleType) -> list[str]:
    """Return the full names of a package's modules, sorted; pkgutil takes ten times as long."""
    with os.scandir(package.__path__[0]) as files:
        names = sorted(file.name[:-3] for file in files if file.name.endswith(".py"))
    return [f"{package.__name__}.{name}" for name in names if name != "__init__"]


def write_whole(path: Path, content: bytes | str, ready: Callable[[], None] = lambda: None) -> Path:
    """Write `content` to an unfinished file beside `path`, then rename it into place.

    An existing file stays as it was when anything fails, and keeps its mode when nothing does. Two
    writers of a folder come one after the other; `ready` is called when it is our turn, and may
    raise. Raises OSError.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(UNFINISHED)
    try:
        with _claimed(unfinished) as file:
            ready()
            if path.is_file() and not path.is_symlink():
                unfinished.chmod(path.stat().st_mode & 0o777)
            file.write(data)
            file.flush()
            os.fsync(file)  # else a full disk may be told after the renaming
            unfinished.replace(path)
    except BaseException:
        with suppress(OSError), _claimed(unfinished, wait=False):
            unfinished.unlink()
        raise
    return path


@contextmanager
def _claimed(path: Path, *, wait: bool = True) -> Iterator[BinaryIO]:
    """Open an empty file for us alone; whoever has it ends first, and takes its name away.

    Raises BlockingIOError where somebody has it and nobody is to `wait`.
    """
    import fcntl

    while True:
        with open(path, "ab", opener=_no_link) as file:
            fcntl.flock(file, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
            if _inode(path) == os.fstat(file.fileno()).st_ino:
                file.truncate(0)
                yield file
                return


def _no_link(path: str, how: int) -> int:
    return os.open(path, how | os.O_NOFOLLOW, 0o666)


def _inode(path: Path) -> int | None:
    with suppress(FileNotFoundError):
        return path.stat().st_ino
    return None
