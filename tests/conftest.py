"""What every test may use: the demo missions, loaded and flown once."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan

SCENARIOS = Path(__file__).parent.parent / "scenarios"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put browser tests last: what drives the browser leaves its event loop running behind it."""
    items.sort(key=lambda item: item.path.parent.name == "browser")


@pytest.fixture(scope="session")
def first_landing() -> mplan.Scenario:
    return mplan.load(SCENARIOS / "first_landing.toml")


@pytest.fixture(scope="session")
def landing_plan(first_landing: mplan.Scenario) -> mplan.Plan:
    return mplan.fly(first_landing)


@pytest.fixture(scope="session", params=["orbit_and_return", "round_the_moon", "first_landing"])
def any_plan(request: pytest.FixtureRequest) -> mplan.Plan:
    return mplan.fly(mplan.load(SCENARIOS / f"{request.param}.toml"))


@pytest.fixture(scope="session")
def too_tall() -> mplan.Plan:
    return mplan.fly(mplan.load(SCENARIOS / "too_tall.toml"), remedies=True)
