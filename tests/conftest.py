"""What every test may use: missions of known numbers, flown once, and the demo, loaded.

Tests that assert numbers or names of hardware use the missions in `missions/`, which stay as they
are; the demo in `scenarios/` is for the command line, workbooks, reports and the browser.
"""

from __future__ import annotations

import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

import mplan
from mplan.flight import walk
from mplan.flight.record import Flight
from mplan.physics import compiling

MISSIONS = Path(__file__).parent / "missions"
DEMO = Path(__file__).parent.parent / "scenarios" / "first_landing.toml"

# A runner in the background ignores Ctrl-C, and whatever it starts does too: not what is tested.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put browser tests last: what drives the browser leaves its event loop running behind it."""
    items.sort(key=lambda item: item.path.parent.name == "browser")


@pytest.fixture(scope="session", autouse=True)
def flown_as_written() -> Iterator[None]:
    """Panels bring in no compiled functions: tests change constants that these have taken in."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(compiling, "start", lambda **_: None)
        patch.setattr(compiling, "keep", lambda: None)
        yield


@pytest.fixture(scope="session")
def first_landing() -> mplan.Scenario:
    """The demo that closes, as it is kept."""
    return mplan.load(DEMO)


@pytest.fixture(scope="session")
def reference_landing() -> mplan.Scenario:
    """A landing that closes, with hardware of its own."""
    return mplan.load(MISSIONS / "reference_landing.toml")


@pytest.fixture(scope="session")
def landing_plan(reference_landing: mplan.Scenario) -> mplan.Plan:
    return mplan.fly(reference_landing)


@pytest.fixture(scope="session")
def two_launches() -> Flight:
    """Flown: the lander waits in Earth orbit, the crew follow and take it along."""
    return walk.fly(mplan.load(DEMO.parent / "two_launches.toml"))


@pytest.fixture(scope="session", params=["orbit_and_return", "round_the_moon"])
def orbital_plan(request: pytest.FixtureRequest) -> mplan.Plan:
    """A mission that does not land."""
    plan = mplan.fly(mplan.load(MISSIONS / f"{request.param}.toml"))
    assert plan.scenario.mission.landing_crew == 0
    return plan


@pytest.fixture(scope="session")
def flyby_plan() -> mplan.Plan:
    """A mission that no burn sends home."""
    plan = mplan.fly(mplan.load(MISSIONS / "round_the_moon.toml"))
    assert plan.flight.end.homeward is None
    return plan


@pytest.fixture(scope="session", params=["orbit_and_return", "round_the_moon", "reference_landing"])
def any_plan(request: pytest.FixtureRequest) -> mplan.Plan:
    return mplan.fly(mplan.load(MISSIONS / f"{request.param}.toml"))


@pytest.fixture(scope="session")
def overheight() -> mplan.Plan:
    """The reference landing below a lower door: it does not close."""
    return mplan.fly(mplan.load(MISSIONS / "overheight.toml"), remedies=True)
