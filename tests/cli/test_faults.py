"""Folders that may not be written, disks that are full, runs that are killed: what is left.

The oracle is the file system itself: after each fault a file is what it was or what it was to be,
byte for byte, and nothing lies beside it. All is run by an ordinary user, `support_cli.ORDINARY`.
"""

from __future__ import annotations

import os
import re
import signal
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli.test_streams import COMMANDS, FILES, OPEN, left, usual
from support_cli import ORDINARY, runner

from harness.base.files import UNFINISHED, write_whole
from harness.base.span import Source

WRITERS = [
    ("tidy", "plan.yaml", "--write"),
    ("assign", "plan.yaml", "--write"),
    ("record", "plan.yaml", "form.yaml"),
    ("leads", "plan.yaml", "--out", "."),
    ("draw", "plan.yaml"),
]
"""Of each way in which files are written one; all other documents go the way of the last two."""
writers = pytest.mark.parametrize("words", WRITERS, ids=" ".join)


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    yield filled(tmp_path / "here")
    (tmp_path / "here").chmod(0o755)


def filled(folder: Path) -> Path:
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text)
    return folder


@writers
def test_a_folder_that_may_not_be_written(words: tuple[str, ...], folder: Path) -> None:
    before = left(folder)
    folder.chmod(0o555)
    done = runner(folder)(*words)
    assert done.code == 2
    assert "cannot be written: Permission denied" in done.err
    assert done.err.count("\n") == 1
    assert left(folder) == before


@pytest.mark.parametrize("words", WRITERS[:2], ids=" ".join)
def test_a_plan_that_may_not_be_written(words: tuple[str, ...], folder: Path) -> None:
    (folder / "plan.yaml").chmod(0o444)
    done = runner(folder)(*words)
    assert (done.code, done.err) == (
        2, 'harness: "plan.yaml" is write-protected, so nothing is written\n'
    )  # fmt: skip
    assert left(folder)["plan.yaml"] == OPEN.encode()


def test_a_plan_that_may_not_be_read(folder: Path) -> None:
    """Also the proof that what runs here is an ordinary user."""
    (folder / "plan.yaml").chmod(0)
    done = runner(folder)("check", "plan.yaml")
    assert done.code == 2
    assert "the file may not be read: permission denied" in done.err


FULL = """
mount -t tmpfs -o size=64k none "$1" && cd "$1" || exit 9
cp ../here/* . && head -c 64k /dev/zero >ballast
shift; "$@"; echo "code $?"; rm ballast*; sha256sum $(find . -type f | sort)
"""


@writers
def test_a_disk_that_is_full(words: tuple[str, ...], folder: Path, tmp_path: Path) -> None:
    """On a file system of 64 kB in a name space of its own; where there may be none, with files
    that may not grow (`RLIMIT_FSIZE` of POSIX): the other error that writing in the middle has.
    """
    before = left(folder)
    (tmp_path / "disk").mkdir()
    line = ["unshare", "-rm", "sh", "-c", FULL, "sh", str(tmp_path / "disk"), sys.executable]
    done = subprocess.run([*line, "-m", "harness", *words], capture_output=True, text=True,
                          env={**os.environ, "LC_ALL": "C"}, check=False)  # fmt: skip
    if "code " in done.stdout:
        assert "head: error writing 'standard output': No space left on device" in done.stderr
        listed = subprocess.run(["sha256sum", *sorted(f"./{n}" for n in before)], text=True,
                                capture_output=True, cwd=folder, check=True).stdout  # fmt: skip
        assert done.stdout.endswith(f"code 2\n{listed}")
        (told,) = [line for line in done.stderr.splitlines() if line.startswith("harness: ")]
        assert told.endswith("cannot be written: No space left on device")
        assert "Traceback" not in done.stderr
    few = runner(folder)(*words, fault={"most_bytes": 100})
    assert (few.code, few.err.count("\n")) == (2, 1)
    assert few.err.endswith("cannot be written: File too large\n")
    assert left(folder) == before


@pytest.mark.parametrize("words", WRITERS[:4], ids=" ".join)
@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_stopped_before_any_change_of_the_disk(
    words: tuple[str, ...], number: int, folder: Path, tmp_path: Path
) -> None:
    """One run a change, until there are no more of them; then once more, without a fault."""
    new = filled(tmp_path / "new")
    assert runner(new)(*words).code < 2
    old, wanted, seen = left(folder), left(new), set()
    told = {signal.SIGINT: "interrupted", signal.SIGTERM: "stopped, nothing is half written"}
    for moment in range(99):
        done = runner(folder)(*words, fault={"signalled": [number, moment]})
        found = left(folder)
        unfinished = next((name for name in found if name.endswith(UNFINISHED)), None)
        found.pop(unfinished, None)
        assert unfinished is None or number == signal.SIGKILL
        assert found in (old, wanted)
        seen.add((found == wanted, unfinished is not None))
        if done.code in (0, 1):
            break
        assert done.code == (-number if number == signal.SIGKILL else 128 + number)
        assert done.err == (f"harness: {told[number]}\n" if number in told else "")
    assert moment > 4
    assert seen >= ({(False, False), (False, True), (True, False)} if number == signal.SIGKILL
                    else {(False, False), (True, False)})  # fmt: skip
    assert found == wanted
    assert unfinished is None


def test_killed_in_the_middle_of_a_file(folder: Path) -> None:
    """SIGXFSZ (POSIX, setrlimit) ends a process after that byte, as nobody else can."""
    done = runner(folder)("leads", "plan.yaml", "--out", ".", fault={"ends_at_byte": 100})
    assert done.code == -signal.SIGXFSZ
    assert len(left(folder)[f"plan/{UNFINISHED}"]) == 100
    assert runner(folder)("leads", "plan.yaml", "--out", ".").code == 0
    assert sorted(left(folder)) == sorted([*FILES, "plan/leads.txt"])


def test_a_book_that_is_killed_holds_whole_files_and_is_whole_the_next_time(folder: Path) -> None:
    wanted = usual(("book", "plan.yaml"))[1]
    for moment in (30, 50, 70):
        done = runner(folder)("book", "plan.yaml", fault={"signalled": [signal.SIGKILL, moment]})
        assert done.code == -signal.SIGKILL
        found = left(folder)
        found.pop(f"out/plan/{UNFINISHED}", None)
        assert len(found) < len(wanted)
        assert found.items() < wanted.items()
    assert runner(folder)("book", "plan.yaml").code == 0
    assert left(folder) == wanted


def test_many_writers_of_one_folder(tmp_path: Path) -> None:
    """A lock belongs to who opened the file (flock(2)), so threads stand for processes."""
    one, own = tmp_path / "one", [tmp_path / letter for letter in "abcd"]
    ended, torn = threading.Event(), []

    def write(path: Path) -> None:
        for _ in range(25):
            write_whole(one, path.name * 100_000)
            write_whole(path, path.name * 1_000)

    def read() -> None:
        while not ended.is_set():
            text = one.read_text() if one.exists() else ""
            torn.extend([len(text)] if len(text) != 100_000 or len(set(text)) > 1 else [])

    one.write_text("a" * 100_000)
    reader = threading.Thread(target=read)
    crowd = [threading.Thread(target=write, args=[path]) for path in own]
    for thread in (reader, *crowd):
        thread.start()
    for thread in crowd:
        thread.join()
    ended.set()
    reader.join()
    assert torn == []
    assert {path.name: path.stat().st_size for path in tmp_path.iterdir()} == {
        "one": 100_000, **{path.name: 1_000 for path in own}
    }  # fmt: skip


def test_two_books_at_once_are_one(folder: Path) -> None:
    line = [*ORDINARY, sys.executable, "-m", "harness", "book", "plan.yaml"]
    both = [subprocess.Popen(line, cwd=folder, stdout=subprocess.DEVNULL) for _ in range(2)]
    assert [one.wait() for one in both] == [0, 0]
    assert left(folder) == usual(("book", "plan.yaml"))[1]


def test_of_two_who_change_a_plan_the_second_is_refused(tmp_path: Path) -> None:
    """Both have read it; whoever writes second would take the first one's change back."""
    from harness.cli.exits import CannotRun
    from harness.cli.plans import write_file

    plan = tmp_path / "plan.yaml"
    plan.write_text(OPEN)
    record = tmp_path / "plan.record.yaml"
    for path, before in ((plan, Source("plan.yaml", OPEN)), (record, None)):
        write_file(str(path), "first\n", before)
        with pytest.raises(CannotRun, match="has been changed meanwhile: nothing is written"):
            write_file(str(path), "second\n", before)
        assert path.read_text() == "first\n"
    assert len(list(tmp_path.iterdir())) == 2


def test_a_file_keeps_who_may_read_it(folder: Path) -> None:
    (folder / "plan.yaml").chmod(0o640)
    runner(folder)("tidy", "plan.yaml", "--write")
    assert stat.S_IMODE((folder / "plan.yaml").stat().st_mode) == 0o640
    mask = os.umask(0o027)
    try:
        written = write_whole(folder / "new", "text")
    finally:
        os.umask(mask)
    assert stat.S_IMODE(written.stat().st_mode) == 0o640


LINKS = {"a file": "outside/kept", "nothing": "outside/none", "itself": "leads.txt"}


@pytest.mark.parametrize("where", LINKS)
def test_a_link_in_the_place_of_a_document_is_replaced(where: str, folder: Path) -> None:
    """What it leads to is no file of the folder that was named."""
    (folder / "outside").mkdir()
    (folder / "outside" / "kept").write_text("kept")
    (folder / "o" / "plan").mkdir(parents=True)
    link = folder / "o" / "plan" / "leads.txt"
    link.symlink_to(LINKS[where] if where == "itself" else folder / LINKS[where])
    assert runner(folder)("leads", "plan.yaml", "--out", "o").code == 0
    assert link.read_text().startswith("Test: lead list")
    assert not link.is_symlink()
    assert left(folder / "outside") == {"kept": b"kept"}


def test_a_link_where_a_file_is_made_is_refused(folder: Path) -> None:
    (folder / "plan").mkdir()
    (folder / "plan" / UNFINISHED).symlink_to(folder / "plan.yaml")
    done = runner(folder)("leads", "plan.yaml", "--out", ".")
    assert (done.code, left(folder)["plan.yaml"]) == (2, OPEN.encode())


def made(path: Path, what: str) -> None:
    """Put something that is no usual file at a path."""
    if what == "pipe":
        os.mkfifo(path)
    elif what == "folder":
        path.mkdir()
    else:
        path.symlink_to({"null": "/dev/null", "full": "/dev/full", "loop": path.name,
                         "nothing": "none"}[what])  # fmt: skip


@pytest.mark.parametrize("what", ["pipe", "null", "full", "loop", "nothing"])
def test_documents_go_into_folders_only(what: str, folder: Path) -> None:
    made(folder / "o", what)
    done = runner(folder)("leads", "plan.yaml", "--out", "o")
    assert (done.code, done.err.count("\n"), done.out) == (2, 1, "")
    assert re.match(r'harness: (documents cannot go into|"o/plan/leads.txt" cannot)', done.err)
    assert sorted(path.name for path in folder.iterdir()) == sorted([*FILES, "o"])


def test_a_folder_in_the_place_of_a_document_stops_all_before_any_is_written(folder: Path) -> None:
    (folder / "out" / "plan" / "load.csv").mkdir(parents=True)
    done = runner(folder)("book", "plan.yaml")
    assert done.code == 2
    assert done.err == (
        'harness: "out/plan/load.csv" cannot be written: there is a folder of that name\n'
    )
    assert list((folder / "out" / "plan").iterdir()) == [folder / "out" / "plan" / "load.csv"]


@pytest.mark.parametrize("what", ["pipe", "null", "full", "loop", "nothing", "folder"])
@pytest.mark.parametrize("command", ["tidy", "assign"])
def test_only_a_file_is_changed(what: str, command: str, folder: Path) -> None:
    made(folder / "odd.yaml", what)
    done = runner(folder)(command, "odd.yaml", "--write")
    assert (done.code, done.out) == (2, "")
    assert done.err.splitlines()[0].startswith(("harness: --write needs a file", "odd.yaml:1:1:"))
    assert "Traceback" not in done.err
    assert (folder / "odd.yaml").is_symlink() or what in ("pipe", "folder")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_stopped_while_graphviz_works(number: signal.Signals, folder: Path, tmp_path: Path) -> None:
    """A `dot` that never ends: it is ended with us, and so are the files it was to read."""
    temporary, program = tmp_path / "tmp", tmp_path / "dot"
    temporary.mkdir()
    program.write_text(f"#!/bin/sh\necho $$ >{tmp_path}/pid.new\nmv {tmp_path}/pid.new "
                       f"{tmp_path}/pid\nexec sleep 60\n")  # fmt: skip
    program.chmod(0o755)
    run = subprocess.Popen(
        [*ORDINARY, sys.executable, "-m", "harness", "draw", "plan.yaml"], cwd=folder, text=True,
        env={**os.environ, "TMPDIR": str(temporary), "HARNESS_DOT": str(program)},
        stderr=subprocess.PIPE,
    )  # fmt: skip
    while not (tmp_path / "pid").exists() and run.poll() is None:
        time.sleep(0.02)
    run.send_signal(number)
    begun = time.monotonic()
    _, told = run.communicate(timeout=30)
    assert time.monotonic() - begun < 10
    word = "interrupted" if number == signal.SIGINT else "stopped, nothing is half written"
    assert (run.returncode, told) == (128 + number, f"harness: {word}\n")
    assert list(temporary.iterdir()) == []
    assert left(folder).keys() == FILES.keys()
    status = Path("/proc", (tmp_path / "pid").read_text().strip(), "stat")
    while status.exists() and status.read_text().split(") ")[1][0] not in "ZX":
        assert time.monotonic() - begun < 10, "the program that draws goes on"
        time.sleep(0.02)


NO_TEXT = os.fsdecode(b"plan-\xff.yaml")


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_name_that_is_no_utf_8(words: tuple[str, ...], folder: Path) -> None:
    """The names of a POSIX file system are bytes: every command takes them."""
    (folder / "plan.yaml").rename(folder / NO_TEXT)
    done = runner(folder)(*(NO_TEXT if word == "plan.yaml" else word for word in words))
    wanted, made = usual(words)
    assert (done.code, len(left(folder))) == (wanted.code, len(made))
    assert all(line.isprintable() for line in done.err.splitlines())


@pytest.mark.parametrize("words", [("book", "plan.yaml"), ("leads", "plan.yaml")], ids=" ".join)
def test_a_folder_whose_name_is_no_text(words: tuple[str, ...], folder: Path) -> None:
    name = os.fsdecode(b"out-\xff\x1b[31m")
    done = runner(folder)(*words, "--out", name)
    assert (done.code, done.err) == (0, "")
    assert all(line.isprintable() for line in done.out.splitlines())
    assert len(list((folder / name / "plan").iterdir())) == done.out.count("\n")


@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=ascii)
@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=ascii)
@pytest.mark.parametrize("command", ["tidy", "assign"])
def test_line_ends_marks_and_tabs_stay(command: str, mark: str, end: str, folder: Path) -> None:
    """YAML 1.2.2, 5.2 and 5.4: marks and line ends are no content; 6.2: tabs part words."""
    text = OPEN.replace("receivers: ", "receivers:\t").replace("4}}", "4}}\t# a remark\t")
    (folder / "plan.yaml").write_bytes((mark + text.replace("\n", end)).encode())
    shown = runner(folder)(command, "plan.yaml", "--to", "plan")
    done = runner(folder)(command, "plan.yaml", "--write", "--to", "diff")
    assert (shown.code, done.code) == (0, 0)
    written = (folder / "plan.yaml").read_bytes().decode()
    assert written.count("\n") == written.count(end)
    assert written.startswith(mark + "plan: 1")
    assert written.removeprefix(mark).replace(end, "\n") == shown.out.replace("\r\n", "\n")
    assert f"receivers:\t{{rx: {{sockets: 4}}}}\t# a remark\t{end}" in written
