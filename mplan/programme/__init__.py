"""The programme around the missions: builds, pads, crews, control teams, windows, money, in days.

    >>> from mplan.programme import load_programme, plan_programme
    >>> calendar = plan_programme(load_programme("scenarios/programmes/cornice.toml"))
    >>> calendar.proven
    True

A planning study: its dates and costs are no commitment, and no readiness review.
"""

from mplan.programme.calendar import Calendar, plan_programme
from mplan.programme.entries import Clash, CostLine, DatedEvent, MissionWindow, Task
from mplan.programme.programme import Programme, load_programme
from mplan.programme.what_if import (
    change_of_design,
    changed_design,
    longer_builds,
    missed_window,
    missed_windows,
)

__all__ = [
    "Calendar",
    "Clash",
    "CostLine",
    "DatedEvent",
    "MissionWindow",
    "Programme",
    "Task",
    "change_of_design",
    "changed_design",
    "load_programme",
    "longer_builds",
    "missed_window",
    "missed_windows",
    "plan_programme",
]
