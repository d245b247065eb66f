"""The benchmarks of this checkout beside those of another revision, flown in turn.

    python -m tests.bench                # beside the commit before
    python -m tests.bench v1.2 -k arc    # beside a tag, of those whose names hold "arc"

The other revision is checked out into a folder that is removed again. Both run its rounds one after
the other, so that what else the machine does slows both alike; the least time of all rounds counts.
The orbit library's own arc and Lambert's problem are among the rows.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parents[2]


def main() -> int:
    """Run both and print them side by side."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("revision", nargs="?", default="HEAD~1", help="HEAD~1, if not given")
    parser.add_argument("-k", dest="named", default="", help="which benchmarks, as pytest has it")
    parser.add_argument("--rounds", type=int, default=2, help="of each revision; 2, if not given")
    asked = parser.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))  # removes the folder
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "other"
        _git("worktree", "add", "--detach", str(other), asked.revision)
        try:
            trees = {"before": other, "now": HERE}
            least = _least(trees, asked.named, asked.rounds)
        finally:
            _git("worktree", "remove", "--force", str(other))
    for row in table(least["before"], least["now"]):
        print(row)
    return 0


def _git(*words: str) -> None:
    subprocess.run(["git", "-C", str(HERE), *words], check=True, stdout=subprocess.DEVNULL)


def _least(trees: dict[str, Path], named: str, rounds: int) -> dict[str, dict[str, float]]:
    """Return the least time [s] of each benchmark, by tree."""
    least: dict[str, dict[str, float]] = {which: {} for which in trees}
    for number in range(rounds):
        for which, tree in trees.items():
            print(f"round {number + 1} of {rounds}: {which}", file=sys.stderr)
            for name, seconds in timed(tree, named).items():
                least[which][name] = min(seconds, least[which].get(name, seconds))
    return least


def timed(tree: Path, named: str) -> dict[str, float]:
    """Return the least time [s] of each benchmark of a checkout; none where it has no such."""
    with tempfile.TemporaryDirectory() as folder:
        kept = Path(folder) / "times.json"
        command = [sys.executable, "-m", "pytest", "tests/bench", "-q", "-p", "no:cacheprovider"]
        command += [f"--benchmark-json={kept}", *(["-k", named] if named else [])]
        there = {**os.environ, "PYTHONPATH": str(tree), "PYTHONPYCACHEPREFIX": f"{folder}/bytecode"}
        there.pop("PYTHONDONTWRITEBYTECODE", None)  # as where planners work: sources compiled once
        run = subprocess.run(command, cwd=tree, env=there, capture_output=True, text=True)
        if run.returncode not in (0, 5):  # 5: no benchmark of that name
            raise SystemExit(f"the benchmarks of {tree} failed:\n{run.stdout[-2000:]}")
        found = json.loads(kept.read_text("utf-8"))["benchmarks"] if kept.exists() else []
    return {f"{Path(x['fullname']).name}": x["stats"]["min"] for x in found}


def table(before: dict[str, float], now: dict[str, float]) -> list[str]:
    """Return the lines of a table: each benchmark's time before and now [ms], and the quotient."""
    lines = [f"{'benchmark':60} {'before ms':>11} {'now ms':>11} {'now/before':>11}"]
    for name in dict.fromkeys((*before, *now)):
        old, new = before.get(name), now.get(name)
        share = f"{new / old:11.2f}" if old and new else " " * 11
        times = " ".join(f"{x * 1e3:11.2f}" if x else f"{'-':>11}" for x in (old, new))
        lines.append(f"{name[:60]:60} {times} {share}")
    return lines


if __name__ == "__main__":
    sys.exit(main())
