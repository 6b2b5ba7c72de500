"""Writing files whole or not at all, and naming those of a package."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from types import ModuleType


def modules_in(package: ModuleType) -> list[str]:
    """Return the full names of a package's modules, sorted; pkgutil takes ten times as long."""
    with os.scandir(package.__path__[0]) as files:
        names = sorted(file.name[:-3] for file in files if file.name.endswith(".py"))
    return [f"{package.__name__}.{name}" for name in names if name != "__init__"]


def write_whole(path: Path, content: bytes | str) -> Path:
    """Write `content` to a temporary file beside `path`, then rename it into place.

    An existing file stays as it was when anything fails. Raises OSError.
    """
    import tempfile

    data = content.encode("utf-8") if isinstance(content, str) else content
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(_usual_mode())
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    return path


def _usual_mode() -> int:
    """Return the mode a plainly opened file would get; mkstemp's own is private."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
