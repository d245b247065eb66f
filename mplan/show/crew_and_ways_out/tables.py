"""Ways out in tables: gaps, the bands in figures, every way at one time and its burns."""

from __future__ import annotations

from mplan.contingencies.ways_out.coverage import NOT_FLOWN, WaysBand, WaysCoverage
from mplan.show import notebook
from mplan.show.crew_and_ways_out import columns, words
from mplan.show.notebook import Table, Words
from mplan.show.tables import framed
from mplan.studies.ways_out import WaysAsked

NO_GAP = f"No gap: {words.CLEAR}."
SO_FAR = "No gap in what is flown so far; the rest is not examined."
NOBODY = "Nobody is aboard: there is nobody to bring home."
NO_WAY = "There is no way home from there."


def gaps(found: WaysCoverage) -> Table:
    """Return every gap, the longest first: from and to since lift-off, and why."""
    listed = framed(columns.gaps(words.fine(found.gaps)), found.gaps)
    if not found.bands:
        return Table(listed, NOBODY)
    unflown = any(span.reason == NOT_FLOWN for _, span in found.unexamined())
    return Table(listed, SO_FAR if unflown else NO_GAP)


def spans(found: WaysCoverage) -> Table:
    """Return every span of every band, a row each: whether a way is open, and the least margin."""
    rows = [(bands, span) for bands in alike(found) for span in bands[0].spans]
    return Table(framed(columns.spans(words.fine(span for _, span in rows)), rows), NOBODY)


def alike(found: WaysCoverage) -> list[tuple[WaysBand, ...]]:
    """Return the bands in groups of one cabin whose failures leave the same at all times."""
    groups: dict[tuple[object, ...], list[WaysBand]] = {}
    for band in found.bands:
        told = tuple((x.begin, x.end, x.kind, x.ways, x.reason) for x in band.spans)
        groups.setdefault((band.cabin, told), []).append(band)
    return [tuple(each) for each in groups.values()]


def ways(asked: WaysAsked) -> Words:
    """Return what was asked in words, every way out there, and the burns of those with any."""
    said = notebook.sentence(words.told(asked))
    if asked.unknown:
        return said
    listed = Table(framed(columns.WAYS, asked.ways), NO_WAY)
    burns = [(way, burn) for way in asked.ways for burn in way.burns]
    tables = [listed, Table(framed(columns.BURNS, burns))] if burns else [listed]
    return notebook.together(said, *tables)
