"""The long run: `python -m tests.hostile --loads 100000 --flights 5000 --kept answers`.

Each case is what its seed makes, in a process with its own limits of time and memory. Answers are
kept in a folder, a line a case, so that a run that was stopped goes on where it ended. A seed
makes another case once missions or code have changed: then begin in a new folder.
"""

from __future__ import annotations

import argparse
import json
import select
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tests.hostile.files import ROOT

STUCK = 240.0  # s without a line: the process does not even hear its own alarm
WELL = ("accepted", "refused")


def main() -> int:
    """Run what is asked for; 1 if any case went wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.hostile", description=__doc__)
    parser.add_argument("--loads", type=int, default=0, help="how many files are loaded")
    parser.add_argument("--flights", type=int, default=0, help="how many scenarios are flown")
    parser.add_argument("--kept", type=Path, default=Path("answers"), help="folder of the answers")
    asked = parser.parse_args()
    asked.kept.mkdir(parents=True, exist_ok=True)
    kinds = {"loads": asked.loads, "flights": asked.flights}
    wrong = [_run(kind, count, asked.kept / f"{kind}.txt") for kind, count in kinds.items()]
    return int(any(wrong))


def _run(kind: str, count: int, kept: Path) -> int:
    """Run all seeds below `count` that have no answer yet; return how many went wrong."""
    answers = _read(kept)
    while (first := _next(answers, count)) is not None:
        with kept.open("a", encoding="utf-8") as file:
            for line in _lines(kind, first, count):
                file.write(line)
                file.flush()
        answers = _read(kept)
        lost = _next(answers, count)
        if lost is not None:  # the process ended, or was stopped, while it worked on this one
            answers[lost] = "the process ended, or gave no sign of life"
            with kept.open("a", encoding="utf-8") as file:
                file.write(json.dumps({"seed": lost, "answer": answers[lost]}) + "\n")
    return _told(kind, {seed: each for seed, each in answers.items() if seed < count})


def _lines(kind: str, first: int, last: int) -> Iterator[str]:
    """Yield the lines of a process until it ends or stays silent for too long."""
    command = [sys.executable, "-m", "tests.hostile.worker", kind, str(first), str(last)]
    # Unbuffered: a line that was read ahead would hide from select.
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, bufsize=0) as process:
        assert process.stdout is not None
        while select.select([process.stdout], [], [], STUCK)[0]:
            line = process.stdout.readline()
            if not line:
                return
            yield line.decode()
        process.kill()


def _read(kept: Path) -> dict[int, str]:
    """Return the answers that are kept, once the end that a stopped run left is cut off."""
    text = kept.read_text("utf-8") if kept.exists() else ""
    whole = text[: text.rfind("\n") + 1]
    if whole != text:
        kept.write_text(whole, "utf-8")
    lines = [json.loads(line) for line in whole.splitlines()]
    return {each["seed"]: each["answer"] for each in lines}


def _next(answers: dict[int, str], count: int) -> int | None:
    return next((seed for seed in range(count) if seed not in answers), None)


def _told(kind: str, answers: dict[int, str]) -> int:
    counts = Counter(answers.values())
    well = ", ".join(f"{counts[each]} {each}" for each in WELL)
    wrong = {seed: each for seed, each in answers.items() if each not in WELL}
    print(f"{len(answers)} {kind}: {well}, {len(wrong)} wrong")
    for seed, each in sorted(wrong.items()):
        print(f"  seed {seed}: {each}")
    return len(wrong)


if __name__ == "__main__":
    sys.exit(main())
