"""The pictures of a plan, one function each; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from mplan.plan import Plan
from mplan.show.climb import curves as climb_curves
from mplan.show.climb import losses as climb_losses
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.mission import budget as burn_bars
from mplan.show.mission import ladder as event_ladder
from mplan.show.mission import path as flight_path
from mplan.show.moon import aborts as descent_aborts
from mplan.show.moon import ascent as ascent_path
from mplan.show.moon import descent as descent_path
from mplan.show.moon import descent_attitude as descent_angles
from mplan.show.moon import lift_offs as stay_chances
from mplan.show.moon import stay as stay_curves
from mplan.show.stack import side_view
from mplan.show.translunar import approach as moon_view
from mplan.show.translunar import calendar as launch_calendar
from mplan.show.translunar import cost_map
from mplan.show.translunar import loops as loop_curves
from mplan.show.translunar import turning as turning_frame
from mplan.studies.landing_aborts import Aborts
from mplan.studies.loops import Loop
from mplan.studies.maps import Map
from mplan.studies.stay import Pass, Sky, Window
from mplan.studies.windows import Answer


def budget(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the burns as bars [m/s]: needed, held back and left over, against what is there."""
    return Picture(burn_bars.drawing(plan, theme))


def timeline(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return phases, crew and turning points over time [d] since lift-off."""
    return Picture(event_ladder.drawing(plan, theme))


def trajectory(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way to the Moon and home [km], to scale, in the plane of the Moon's orbit."""
    return Picture(flight_path.drawing(plan, theme))


def climb(plan: Plan, curve: climb_curves.Curve, *, theme: Theme | None = None) -> Picture:
    """Return a curve of the climb, one of `climb_curves`, over the time since lift-off [s]."""
    return Picture(curve.drawing(plan, theme))


def losses(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the climb's ideal velocity [m/s] by stage: gained, and lost by cause."""
    return Picture(climb_losses.drawing(plan, theme))


def turning(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way there and home [km] in the frame that turns with Earth and Moon."""
    return Picture(turning_frame.drawing(plan, theme))


def approach(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the last two hours before the Moon [km], with night, ground tracks and site."""
    return Picture(moon_view.drawing(plan, theme))


def calendar(
    answers: Iterable[Answer], plan: Plan | None = None, *, theme: Theme | None = None
) -> Picture:
    """Return launch windows: a row a day, clock time [UTC, h] across; `plan`'s lift-off marked."""
    return Picture(launch_calendar.drawing(answers, plan, theme))


def costs(found: Map, what: str = "Delta-v", *, theme: Theme | None = None) -> Picture:
    """Return delta-v [m/s] over start and time of flight [h], the cheapest cell framed."""
    return Picture(cost_map.drawing(found, what, theme))


def loops(
    curves: Mapping[float, Sequence[Loop]], free: Sequence[Loop], *, theme: Theme | None = None
) -> Picture:
    """Return the way back's perigee [km] over the time to the Moon [h], by perilune altitude."""
    return Picture(loop_curves.drawing(curves, free, theme))


def stack(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the stack on the pad from the side [m], to scale, with what the pad allows."""
    return Picture(side_view.drawing(plan, theme))


def descent(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the powered descent: altitude [km] over what is still to go to the site [km]."""
    return Picture(descent_path.drawing(plan, theme))


def last_kilometres(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the descent from the high gate down [km]."""
    return Picture(descent_path.near(plan, theme))


def descent_attitude(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return throttle [%], pitch and look angle [deg] over the time since ignition [s]."""
    return Picture(descent_angles.drawing(plan, theme))


def lunar_ascent(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the ascent from the Moon: altitude [km] over the distance along the ground [km]."""
    return Picture(ascent_path.drawing(plan, theme))


def lunar_ascent_attitude(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return pitch [deg] and speed [% of that at cut-off] over the time since lift-off [s]."""
    return Picture(ascent_path.attitude(plan, theme))


def aborts(found: Aborts, *, theme: Theme | None = None) -> Picture:
    """Return what an abort needs and has [m/s] over the time of its call [s after ignition]."""
    return Picture(descent_aborts.drawing(found, theme))


def stay(
    sky: Sky, passes: Sequence[Pass], lift_off: float, *, theme: Theme | None = None
) -> Picture:
    """Return the Sun and the site's drift [deg] over hours; `lift_off` [s] from touchdown."""
    return Picture(stay_curves.drawing(sky, passes, lift_off, theme))


def lift_offs(
    passes: Sequence[Pass], window: Window | None, lift_off: float, *, theme: Theme | None = None
) -> Picture:
    """Return what each lift-off needs [m/s]; `lift_off` [s] from touchdown is the planned one."""
    return Picture(stay_chances.drawing(passes, window, lift_off, theme))
