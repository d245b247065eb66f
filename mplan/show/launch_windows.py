"""Launch windows as tables and as a document."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

from mplan.cautions import CAUTIONS
from mplan.contract import insertion
from mplan.physics.constants import DEG, HOUR
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.show import failed_insertions
from mplan.show.columns import Column
from mplan.studies.launches.chance import Chance, OtherLaunch
from mplan.studies.windows import Answer, chances

FORMAT = "mplan-windows/2"


def frame(answers: Iterable[Answer]) -> pd.DataFrame:
    """Return one row a chance, in order of day and side, units in the headers.

    What does not arise in any of them, such as the Sun where nobody lands, has no column.
    """
    from mplan.show.tables import framed  # brings pandas, which a document does without

    found = chances(answers)
    arising = [x for x in _COLUMNS if any(x.value(each) not in (None, "") for each in found)]
    return framed(arising or _COLUMNS, found)


def document(scenario: Scenario, answers: Iterable[Answer]) -> dict[str, Any]:
    """Return the windows as JSON values."""
    answers = list(answers)
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "scenario": {"name": scenario.mission.name, "hash": scenario.hash},
        "windows": [_window(x) for x in chances(answers)],
        "without": [
            {"day": str(x.day), "side": x.side, "why": x.why}
            for x in answers
            if not isinstance(x, Chance)
        ],
    }


def _window(chance: Chance) -> dict[str, Any]:
    sun = chance.sun_at_landing
    return {
        "day": str(chance.day),
        "side": chance.side,
        "number": chance.number,
        "opens_utc": chance.opens.isoformat(timespec="seconds"),
        "closes_utc": chance.closes.isoformat(timespec="seconds"),
        "azimuth_opening_deg": chance.azimuth_opening / DEG,
        "azimuth_closing_deg": chance.azimuth_closing / DEG,
        "lift_off_utc": chance.lift_off.isoformat(timespec="seconds"),
        "azimuth_deg": chance.azimuth / DEG,
        "plane_azimuth_deg": chance.plane_azimuth / DEG,
        "azimuth_planned": chance.planned,
        "injection_m_s": chance.injection_delta_v,
        "translunar_h": chance.translunar_time / HOUR,
        "perilune_utc": chance.perilune.isoformat(timespec="seconds"),
        "moon_declination_deg": chance.moon_declination / DEG,
        "sun_at_landing_deg": None if sun is None else sun / DEG,
        "sun_fits": chance.sun_fits,
        "splash_utc": chance.splash and chance.splash.isoformat(timespec="seconds"),
        "splash_light": chance.splash_light,
        "splash_estimate": chance.splash_estimate,
        "insertion_fails": insertion.failed(chance.failed),
        "other_ships": [_other(x) for x in chance.others],
        "closes": chance.plan_closes,
        "decisions_open": chance.decisions_open,
        "tightest_margin_m_s": chance.tightest_margin,
        "verdict": chance.verdict,
    }


def _other(launched: OtherLaunch) -> dict[str, Any]:
    opens, ends = (x and x.isoformat(timespec="seconds") for x in (launched.opens, launched.closes))
    return {
        "ship": launched.name,
        "opens_utc": opens,
        "closes_utc": ends,
        "lift_off_utc": launched.lift_off.isoformat(timespec="seconds"),
        "azimuth_deg": launched.azimuth / DEG,
    }


def others(chance: Chance) -> str:
    """Return when the other ships lift off, each with its name; blank where there is none."""
    return ", ".join(f"{plain(x.name)} {x.lift_off:%m-%d %H:%M}" for x in chance.others)


def closing(closes: bool | None, decisions: int) -> str:
    """Return whether a plan closes, and how many decisions it leaves open."""
    return f"yes, {decisions} open" if closes and decisions else yes(closes)


def yes(value: bool | None) -> str:
    """Return yes, no, or a blank for what does not arise."""
    return {True: "yes", False: "no", None: ""}[value]


def _degrees(value: float | None) -> float | None:
    return None if value is None else value / DEG


_COLUMNS = (
    Column("day", lambda x: str(x.day)),
    Column("side", lambda x: x.side),
    Column("opens [UTC]", lambda x: f"{x.opens:%d %H:%M}"),
    Column("ends [UTC]", lambda x: f"{x.closes:%d %H:%M}"),
    Column("other ships [UTC]", others),
    Column("launch azimuth [deg]", lambda x: x.azimuth / DEG, 1),
    Column("orbit plane [deg]", lambda x: x.plane_azimuth / DEG, 1),
    Column("injection [m/s]", lambda x: x.injection_delta_v, 1),
    Column("perilune [UTC]", lambda x: f"{x.perilune:%m-%d %H:%M}"),
    Column("Moon's declination [deg]", lambda x: x.moon_declination / DEG, 1),
    Column("Sun at landing [deg]", lambda x: _degrees(x.sun_at_landing), 1),
    Column("Sun fits", lambda x: yes(x.sun_fits)),
    Column("splash [UTC]", lambda x: f"{x.splash:%m-%d %H:%M}" if x.splash else ""),
    Column("splash in", lambda x: x.splash_light),
    Column(
        "splash basis", lambda x: ("estimate" if x.splash_estimate else "flown") if x.splash else ""
    ),
    *failed_insertions.COLUMNS,
    Column("plan closes", lambda x: closing(x.plan_closes, x.decisions_open)),
    Column("tightest margin [m/s]", lambda x: x.tightest_margin, 0),
)
