"""What loading a file answers: a scenario, or a message with its place a line."""

from __future__ import annotations

from pathlib import Path

import mplan
from tests.hostile.files import text_of


def load(seed: int, folder: Path) -> mplan.Scenario | None:
    """Load the file of a seed; None where it is refused. AssertionError for an empty message."""
    file = folder / "case.toml"
    file.write_bytes(text_of(seed, folder).encode("utf-8", "surrogatepass"))
    problems = ()
    try:
        return mplan.load(file)
    except mplan.ScenarioError as error:
        problems = error.problems
    assert problems, "no problem is named"
    assert all(each.place and each.text for each in problems), problems
    return None
