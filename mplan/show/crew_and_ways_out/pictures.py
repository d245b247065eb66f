"""The pictures of ways out; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.contingencies.ways_out.coverage import WaysCoverage
from mplan.show.crew_and_ways_out import band_bars, home_path, moon_view
from mplan.show.crew_and_ways_out.tables import NOBODY
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.studies.ways_out import WaysAsked


def bands(found: WaysCoverage, *, theme: Theme | None = None) -> Picture | Words:
    """Return which failure leaves a way home when [h since lift-off], by cabin."""
    if not found.bands:
        return sentence(NOBODY)
    return Picture(band_bars.drawing(found, theme))


def way_home(asked: WaysAsked, *, theme: Theme | None = None) -> Picture:
    """Return the best way out drawn between Earth and Moon; the plan alone where none is."""
    return Picture(home_path.drawing(asked, theme))


def way_about_moon(asked: WaysAsked, *, theme: Theme | None = None) -> Picture | Words:
    """Return the same way about the Moon with its orbits and burns; words where it has none."""
    drawn = moon_view.drawing(asked, theme)
    return sentence(moon_view.NOWHERE) if drawn is None else Picture(drawn)
