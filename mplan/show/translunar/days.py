"""The launch windows of some days, for a cell: with a line that tells how far they are."""

from __future__ import annotations

from mplan.scenario import Scenario
from mplan.show.progress import watched
from mplan.studies.windows import Answer, scan_windows


def scanned(scenario: Scenario, days: int) -> list[Answer]:
    """Return the windows of so many days from the scenario's launch day, each flown.

    An interruption of the kernel leaves the days that are not flown by then. Raises ScenarioError
    as `scan_windows` does.
    """
    with watched("Days") as work:
        day = scenario.dates.launch_day
        return scan_windows(scenario, day, days, done=work.done, stopped=work.stopped)
