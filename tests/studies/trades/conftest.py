"""A study of few light flights, and what comes out of it where nothing goes wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from mplan.studies import trades
from mplan.studies.executors import InProcess

MISSIONS = Path(__file__).parents[2] / "missions"
STUDY = f"""format = "mplan-study/1"
name = "Low and Slow"
scenario = "{(MISSIONS / "low_orbit.toml").as_posix()}"
climb = "kept"
tell = ["tightest margin"]

[[axes]]
key = "orbits.lunar_altitude"
values = ["60 km", "70 km"]

[[axes]]
key = "dates.translunar_time"
values = ["86 h", "92 h", "300 h"]

[[objectives]]
figure = "margin after trans-Earth injection"
best = "most"

[[objectives]]
figure = "time from lift-off to the end"
best = "least"
"""


@pytest.fixture(scope="session")
def study_file(tmp_path_factory):
    file = tmp_path_factory.mktemp("study") / "low_and_slow.toml"
    file.write_text(STUDY, "utf-8")
    return file


@pytest.fixture(scope="session")
def study(study_file):
    return trades.load_study(study_file)


@pytest.fixture(scope="session")
def unbroken(study):
    """Flown in one go, here."""
    return trades.of(study, executor=InProcess())
