"""Spoiled plans by the thousand over `check` and every document, for as long as is asked.

    make fuzz [MINUTES=60] [SEED=1]

Prints the seed; a plan that shows a fault is made as short as it goes and kept in out/fuzz/.
"""

from __future__ import annotations

import argparse
import faulthandler
import random
import re
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from fuzz.mutate import mutant, seeds
from fuzz.numbers import ROOT
from fuzz.oracle import Outcome, faults, run

from harness.documents.index import DOCUMENTS, Document

FOUND = ROOT / "out/fuzz"
FLAG = {"check": "--format"}
NO_FLAG = {"trace", "book"}
NO_OUT = {"check", "trace", "assign", "record"}
SMALL = 2500
"""Signs of a plan of which every document is quick."""
STOCKS = ["a4-38x21-5x13", "letter-102x51-2x5", "tape-9", "flag-a4-66x12-3x22", "mine"]
FUNCTIONS = ["aileron", "elevator", "rudder", "throttle", "gear", "flap", "doors", "lights"]
CASES = ["full-throttle", "cruise", "hard-manoeuvre", "worst", "still"]


def choices(name: str, plan: str, chance: random.Random) -> list[tuple[str, ...]]:
    """The further words that a document's command may be given, with names out of the plan."""
    ids = re.findall(r"^  ([\w-]+):", plan, re.MULTILINE) or ["x"]
    part, place, case = chance.choice(ids), chance.choice(ids), chance.choice(CASES)
    function = chance.choice(
        ["aileron", "elevator", "rudder", "throttle", "gear", "flap", "doors", "lights"]
    )
    found: dict[str, list[tuple[str, ...]]] = {
        "plan": [(), ("--strict",), ("--why",)],
        "diagrams": [("--view", view) for view in ("run", "airframe", "power", "control")]
        + [("--place", place), ("--function", function), ("--lead", part), ("--case", case)],
        "labels": [(), *(("--stock", stock) for stock in STOCKS), ("--skip", "3")],
        "load": [(), ("--case", case), ("--at", part), ("--tolerance", "20"),
                 ("--tolerance", "corners")],
        "timeline": [("--function", function)],
        "traces": [(part,)],
        "proposal": [(), ("--others",), ("--power",)],
        "results": [("results.yaml",)],
        "changes": [("other.yaml",)],
        "book": [("--edition", edition) for edition in ("bench", "full")],
    }  # fmt: skip
    return found.get(name, [()])


def line_of(document: Document, plan: str, chance: random.Random) -> tuple[str, ...]:
    """Return the words of one command that makes a document, in any of its formats."""
    command, *fixed = document.command.split()
    more = chance.choice(choices(document.name, plan, chance))
    if document.name == "labels":
        fixed = []
    if document.name == "test-page":
        return (command, *fixed, "--stock", chance.choice(STOCKS[:-1]), "--out", "out")
    flag = (
        () if command in NO_FLAG else (FLAG.get(command, "--to"), chance.choice(document.formats))
    )
    out = () if command in NO_OUT else ("--out", "out")
    return (command, *fixed, "plan.yaml", *more, *flag, *out)


def every_line(plan: str, chance: random.Random) -> list[tuple[str, ...]]:
    """One command for each document of the list, and `tidy`."""
    lines = [line_of(document, plan, chance) for document in DOCUMENTS if document.command]
    return [*lines, ("tidy", "plan.yaml", *chance.choice([(), ("--long",)]))]


def furnish(folder: Path) -> None:
    """Lay beside the plan what some commands want besides."""
    (folder / "other.yaml").write_text(seeds()["examples/turnstone-4.yaml"])
    results = ROOT / "examples/saltmarsh-19.results.yaml"
    (folder / "results.yaml").write_text(results.read_text("utf-8"))


@dataclass
class Fault:
    """What was seen, on which plan, by which command; `how`: by which way it was spoiled."""

    what: str
    plan: bytes
    words: tuple[str, ...]
    how: str

    @property
    def kind(self) -> str:
        """What is the same in all faults of a kind: the words without numbers and names."""
        return re.sub(r"[0-9]+|\"[^\"]*\"", "N", self.what)


class Campaign:
    """Tries one spoiled plan after the other in a folder of its own."""

    def __init__(self, folder: Path, chance: random.Random, only_small: bool = False) -> None:
        self.folder, self.chance = folder, chance
        texts = seeds()
        small = {name: text for name, text in texts.items() if len(text) <= SMALL}
        self.texts = list((small if only_small else texts).values())
        self.small = list(small.values())
        furnish(folder)
        self.accepted = self.tried = 0

    def seen(self, plan: bytes, *words: str) -> tuple[Outcome, list[str]]:
        """Run a command on a plan; return what it did and what is wrong with that."""
        (self.folder / "plan.yaml").write_bytes(plan)
        (self.folder / "plan.record.yaml").unlink(missing_ok=True)
        done = run(self.folder, *words)
        return done, list(faults(done, plan))

    def checked(self) -> Iterator[Fault]:
        """Spoil a plan, check it, and ask of what is accepted whether it is no nonsense."""
        spoiled = mutant(self.chance, self.chance.choice(self.texts))
        self.tried += 1
        more = self.chance.choice([(), (), ("--why",), ("--format", "json"), ("--format", "sarif")])
        words = ("check", "plan.yaml", *more)
        done, wrong = self.seen(spoiled.data, *words)
        yield from (Fault(what, spoiled.data, words, spoiled.how) for what in wrong)
        if done.code not in {0, 1}:
            return
        self.accepted += 1
        if spoiled.must:
            yield Fault(f"accepted: a key {spoiled.how}", spoiled.data, words, spoiled.how)
        for what in self.unlike(spoiled.data):
            yield Fault(what, spoiled.data, ("check", "plan.yaml"), spoiled.how)

    def unlike(self, plan: bytes) -> Iterator[str]:
        """Yield how the answer changes, now and then, where nothing but blanks and remarks did."""
        if self.chance.randrange(20):
            return
        first = self.seen(plan, "check", "plan.yaml")[0]
        if self.seen(plan, "check", "plan.yaml")[0] != first:
            yield "the same plan twice gives two answers"
        if b"|" in plan or b">" in plan or b"\r" in plan:
            return
        blanks = b"".join(line.rstrip(b"\n") + b"  \n" for line in plan.splitlines(keepends=True))
        second = self.seen(blanks + b"\n# a remark\n", "check", "plan.yaml")[0]
        if (second.code, second.out) != (first.code, first.out):
            yield "blanks at the ends of lines and a remark change the answer"

    def document(self, words: tuple[str, ...] = ()) -> Iterator[Fault]:
        """Spoil a small plan and make a document of it: the one asked for, or any."""
        text = self.chance.choice(self.small)
        for _ in range(20):
            spoiled = mutant(self.chance, text)
            if (
                self.seen(spoiled.data, "check", "plan.yaml")[0].code != 2
                or self.chance.random() < 0.05
            ):
                break
        self.tried += 1
        lines = every_line(text, self.chance)
        words = words or self.chance.choice(lines)
        done, wrong = self.seen(spoiled.data, *words)
        yield from (Fault(what, spoiled.data, words, spoiled.how) for what in wrong)
        if not done.trace and self.chance.randrange(20) == 0:
            again, _ = self.seen(spoiled.data, *words)
            if (again.out, again.files) != (done.out, done.files):
                yield Fault(f"{words[0]}: twice, two outputs", spoiled.data, words, spoiled.how)

    def minimised(self, fault: Fault, tries: int = 300) -> Fault:
        """Take lines out of the plan, many and then few, while the fault stays the same."""

        def stays(plan: bytes) -> bool:
            found = (
                Fault(what, plan, fault.words, "").kind for what in self.seen(plan, *fault.words)[1]
            )
            return fault.kind in found

        lines, size = fault.plan.splitlines(keepends=True), 1 << 20
        if not stays(fault.plan):
            return fault
        size = max(1, len(lines) // 2)
        while size:
            at = 0
            while at < len(lines) and tries:
                tries -= 1
                less = lines[:at] + lines[at + size :]
                lines, at = (less, at) if stays(b"".join(less)) else (lines, at + size)
            size //= 2
        return Fault(fault.what, b"".join(lines), fault.words, fault.how)


def kept(fault: Fault, number: int) -> Path:
    """Write a plan with the command that shows the fault, and what was seen."""
    FOUND.mkdir(parents=True, exist_ok=True)
    path = FOUND / f"{number:03}.yaml"
    path.write_bytes(fault.plan)
    path.with_suffix(".txt").write_text(f"{fault.what}\nharness {' '.join(fault.words)}\n")
    return path


def search(minutes: float, seed: int) -> int:
    """Try plans until the time is up; return how many kinds of fault were found."""
    kinds: set[str] = set()
    end = time.monotonic() + 60 * minutes
    with TemporaryDirectory() as folder:
        tries = Campaign(Path(folder), random.Random(seed))
        while time.monotonic() < end:
            found = tries.document() if tries.chance.randrange(8) == 0 else tries.checked()
            for fault in found:
                if fault.kind not in kinds:
                    kinds.add(fault.kind)
                    path = kept(tries.minimised(fault), len(kinds))
                    print(f"{path.relative_to(ROOT)}: {fault.what} [{fault.how}]", flush=True)
        print(f"{tries.tried} plans tried, {tries.accepted} accepted, {len(kinds)} kinds of fault")
    return len(kinds)


def main() -> None:
    """Read minutes and seed, print the seed, and search."""
    words = argparse.ArgumentParser(description="spoiled plans over every command")
    words.add_argument("--minutes", type=float, default=60)
    words.add_argument("--seed", type=int, default=int(time.time()) % 1_000_000)
    given = words.parse_args()
    print(f"seed {given.seed}, {given.minutes:g} minutes", flush=True)
    faulthandler.enable()
    sys.exit(1 if search(given.minutes, given.seed) else 0)


if __name__ == "__main__":
    main()
