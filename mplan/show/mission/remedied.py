"""The mission flown for a workbook, with remedies and a line that tells how far they are."""

from __future__ import annotations

from mplan.plan import Plan, fly
from mplan.scenario import Scenario
from mplan.show.progress import watched


def flown(scenario: Scenario) -> Plan:
    """Return the plan of a scenario with remedies for what stops it: up to half a minute.

    An interruption of the kernel leaves out the remedies that are not flown by then; their
    findings say so. Raises ScenarioError as `mplan.fly` does.
    """
    with watched("Flights for remedies") as work:
        return fly(scenario, remedies=True, done=work.done, stopped=work.stopped)
