"""The entry in figures and tables.

Each answer is a table, a picture, or a sentence where nothing was flown.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import itemgetter

import numpy as np
import pandas as pd

from mplan.cautions import CAUTIONS
from mplan.flight.entry import Entry, Splash
from mplan.physics import constants as c
from mplan.physics.entry.parachutes import ParachuteDescent
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.columns import lit
from mplan.show.notebook import Table, Words
from mplan.show.reached import asks_home
from mplan.show.tables import Column, framed
from mplan.show.told import told
from mplan.studies import entries, worked_examples

NOT_FLOWN = "The entry is not flown: the crew module has no [aeroshell] or no [parachutes], and "
NOT_FLOWN += "no figures are made up for it."
SKIPS = "The entry skips out: nothing comes down, and no parachutes open."
EVERY = 30.0  # s, between rows of the track's table


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the entry, by name."""
    entry = plan.flight.end.entry
    if entry is None:
        return {"entry": "not flown"}
    angle, downrange = entry.angle / c.DEG, told("{:.0 km}", entry.flown.range / 1e3)
    return {
        "interface": told("{:.2 deg} at {:.0 m/s}, inertial", angle, entry.inertial_speed),
        "corridor": _corridor(entry),
        "enters": told("{:.2 t}, {:.0 kg/m2}", entry.mass / 1e3, entry.vehicle.ballistic),
        "steering": _steering(entry),
        "largest load": told("{:.1 g}, {}", entry.peak_load, entries.which_peak(entry)),
        "heating": _heating(entry),
        "heat shield": _shield(entry),
        "sideways": _on_place(entry),
        "downrange": downrange if entry.lands else "none: it skips out",
        "touchdown": _touchdown(entry),
        **_lights(plan, entry),
    }


@asks_home
def figures(plan: Plan) -> Words:
    """Return the same as a table, with the caution that goes with an entry."""
    return notebook.facts({**facts(plan), "caution": CAUTIONS[-1]})


def _corridor(entry: Entry) -> str:
    edges = entry.corridor
    limit = f"steeper takes more than {entry.limit / c.G0:g} g, shallower skips out"
    form = "{:.2(deg)} to {:.2 deg}: {}"
    return told(form, edges.steep / c.DEG, edges.shallow / c.DEG, limit)


def _heating(entry: Entry) -> str:
    """Return the nose's heating, worked out and at the upper end of its error."""
    heat = entry.heat
    upper = told("up to {:.2 MW/m2} and {:.0 MJ/m2}", heat.upper_peak / 1e6, heat.upper_load / 1e6)
    worked_out = told("{:.2 MW/m2}, {:.0 MJ/m2}", heat.peak / 1e6, heat.load / 1e6)
    nose = entry.nose_radius
    return told("{}; {} by its error; as a nose of {:.2 m}", worked_out, upper, nose)


def _on_place(entry: Entry) -> str:
    """Return how near to where the return was timed for it comes down, and what reversals do."""
    if not entry.lands:
        return "none: it skips out"
    count = len(entry.flown.reversals)
    if not count:
        return told("no bank reversals, {:.1 km} aside", entry.miss / 1e3)
    noun = "reversal" if count == 1 else "reversals"
    form = "{} bank {}: {:.1 km} off, {:.0 km} aside without"
    return told(form, count, noun, entry.miss / 1e3, entry.aside / 1e3)


def _steering(entry: Entry) -> str:
    if not entry.vehicle.lift_to_drag:
        return "none, it falls ballistically"
    bank = told("banked {:.0 deg}", entry.bank / c.DEG)
    if not entry.pulls_out:
        return told("{} all the way", bank)
    first = "up" if entry.flown.steering.first > 0.0 else "down"
    return told("full lift {} to pull-out, then {}", first, bank)


def _lights(plan: Plan, entry: Entry) -> dict[str, str]:
    """Return the light as the drogues open and at the splash: the ship comes straight down."""
    if not entry.lands:
        return {}
    descent = entry.splash.t - entry.t - entry.drogue_time
    return {
        "light at drogue opening": lit(entries.light_at_splash(plan, descent)),
        "light at splash": lit(entries.light_at_splash(plan)),
    }


def _shield(entry: Entry) -> str:
    available, required = entry.aeroshell.shield_areal_mass, entry.shield_required
    if available is None or required is None:
        return "not worked out: no shield_areal_mass or no effective_heat in [aeroshell]"
    whole = entry.shield_mass
    bound = "" if whole is None else told("; {:.0 kg} if as thick over the whole front", whole)
    share = 100.0 * (available / required - 1.0)
    ablate = told("up to {:.1(kg/m2)} of {:.1 kg/m2} ablate at the nose", required, available)
    return told("{}, margin {:.0 %}{}", ablate, share, bound)


def _touchdown(entry: Entry) -> str:
    if entry.descent is None:
        return "none"
    after = entry.drogue_time + entry.descent.duration
    speed, surface = entry.descent.touchdown, entry.parachutes.surface
    return told("{:.1 m/s} on {}, {:m:s} min after the interface", speed, surface, after)


def _table(plan: Plan, frame: Callable[[Entry], pd.DataFrame]) -> Words:
    entry = plan.flight.end.entry
    return notebook.sentence(NOT_FLOWN) if entry is None else Table(frame(entry))


@asks_home
def edges(plan: Plan) -> Words:
    """Return the edges of the corridor and of the planned range, and what sets each."""
    return _table(plan, _edges)


def _edges(entry: Entry) -> pd.DataFrame:
    return framed(_EDGES, entries.angle_limits(entry))


_EDGES = (
    Column("entry", lambda row: row.name),
    Column("angle at the interface [deg]", lambda row: row.angle / c.DEG, 2),
    Column("largest load [g]", lambda row: None if row.load is None else row.load / c.G0, 1),
    Column("set by", lambda row: row.by),
)


@asks_home
def reach(plan: Plan) -> Words:
    """Return where the shortest and the longest entry within the limits come down."""
    return _table(plan, _reach)


def _reach(entry: Entry) -> pd.DataFrame:
    names = ("shortest within the load limit", "longest that does not skip")
    rows = list(zip(names, entry.footprint, strict=False))
    if entry.lands:
        rows.insert(min(1, len(rows)), ("as flown", entry.splash))
    return framed(_REACH, rows)


def _place(splash: Splash) -> tuple[str, str]:
    latitude, longitude = splash.latitude / c.DEG, splash.longitude / c.DEG
    north, east = "NS"[latitude < 0.0], "EW"[longitude < 0.0]
    return f"{abs(latitude):.1f} {north}", f"{abs(longitude):.1f} {east}"


_REACH = (
    Column("entry", lambda row: row[0]),
    Column("downrange [km]", lambda row: row[1].downrange / 1e3, 0),
    Column("latitude [deg]", lambda row: _place(row[1])[0]),
    Column("longitude [deg]", lambda row: _place(row[1])[1]),
)


@asks_home
def track(plan: Plan) -> Words:
    """Return the way down in rows half a minute apart."""
    return _table(plan, _track_rows)


def _track_rows(entry: Entry) -> pd.DataFrame:
    t = entry.track["t"]
    chosen = np.unique(np.searchsorted(t, np.arange(0.0, t[-1], EVERY)))
    return framed(_TRACK, [(entry, int(i)) for i in (*chosen, len(t) - 1)])


def _at(name: str, size: float = 1.0) -> Callable[[tuple[Entry, int]], float]:
    return lambda row: row[0].track[name][row[1]] / size


_TRACK = (
    Column("since the interface [s]", _at("t"), 0),
    Column("altitude [km]", _at("altitude", 1e3), 1),
    Column("speed [m/s]", _at("speed"), 0),
    Column("path angle [deg]", _at("angle", c.DEG), 2),
    Column("bank to the right [deg]", _at("bank", c.DEG), 0),
    Column("load [g]", _at("load", c.G0), 2),
    Column("heating [MW/m2]", lambda row: row[0].heat.flux[row[1]] / 1e6, 2),
    Column("downrange [km]", _at("downrange", 1e3), 0),
)


@asks_home
def descents(plan: Plan) -> Words:
    """Return the descent with all parachutes, and with one drogue or one main failed."""
    entry = plan.flight.end.entry
    if entry is not None and not entry.lands:
        return notebook.sentence(SKIPS)
    return _table(plan, descent_rows)


def descent_rows(entry: Entry) -> pd.DataFrame:
    """Return the table of `descents`, of an entry that comes down."""
    rows = [
        ("all parachutes", entry.descent),
        ("one drogue failed", entry.one_drogue_less),
        ("one main failed", entry.one_main_less),
    ]
    wind = entry.parachutes.wind
    drift = Column("drift with the wind [km]", lambda row: wind * row[1].duration / 1e3, 1)
    return framed([*_DESCENTS, *([drift] if wind else [])], rows)


def _opening(
    name: str, value: str, size: float = 1.0
) -> Callable[[tuple[str, ParachuteDescent]], float]:
    return lambda row: getattr(getattr(row[1], name), value) / size


_DESCENTS = (
    Column("with", lambda row: row[0]),
    Column("drogues open at [kPa]", _opening("drogue_opening", "pressure", 1e3), 2),
    Column("at Mach", _opening("drogue_opening", "mach"), 2),
    Column("mains open at [kPa]", _opening("main_opening", "pressure", 1e3), 2),
    Column("opening load of the mains [g]", _opening("main_opening", "load"), 1),
    Column("descent [min]", lambda row: row[1].duration / c.MINUTE, 1),
    Column("touchdown [m/s]", lambda row: row[1].touchdown, 1),
)


def published() -> Table:
    """Return closed forms and worked figures beside what they give here."""
    rows = [
        (
            "iron sphere of 1 ft, straight down at 30,000 ft/s",
            f"{worked_examples.iron_sphere() / c.G0:.1f} g",
            "233.9 g",
            "Allen and Eggers, NACA Report 1381 (1958)",
        ),
        (
            "7.5 km/s in 1.0269e-3 kg/m3, nose 1 m",
            f"{worked_examples.stagnation_heating() / 1e6:.3f} MW/m2",
            "2.354 MW/m2",
            "Sutton and Graves, NASA TR R-376",
        ),
    ]
    heads = ("what", "computed", "from the published formula", "source")
    columns = [Column(head, itemgetter(i)) for i, head in enumerate(heads)]
    return Table(framed(columns, rows))
