"""Ways out as JSON values; `ways_out.schema.json` in the package is the contract."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.checks.finding import Finding, Remedy
from mplan.contingencies.ways_out.coverage import WaysBand, WaysCoverage, WaysGap, WaysSpan
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.physics.constants import DEG, HOUR
from mplan.show.crew_and_ways_out import words
from mplan.studies.ways_out import WaysAsked

FORMAT = "mplan-ways-out/1"


def schema() -> dict[str, Any]:
    """Return the JSON Schema that every document follows."""
    return json.loads(files("mplan").joinpath("ways_out.schema.json").read_text("utf-8"))


def document(
    flight: Flight,
    found: WaysCoverage | None = None,
    asked: Sequence[WaysAsked] = (),
    mended: Sequence[Finding] = (),
) -> dict[str, Any]:
    """Return a coverage, or what was asked at one time, as JSON values with units in their keys.

    `mended` are gaps with the changes that were flown against them.
    """
    scenario = flight.scenario
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "notes": list(words.NOTES),
        "scenario": {"name": scenario.mission.name, "hash": scenario.hash},
        "suited_time_h": scenario.aborts.suited_time / HOUR,
        "coverage": None if found is None else _coverage(found),
        "asked": [_asked(each) for each in asked],
        "remedies": [_remedy(each, x) for each in mended for x in each.remedies],
    }


def _remedy(finding: Finding, remedy: Remedy) -> dict[str, Any]:
    return {
        "gap": finding.text,
        "change": remedy.change,
        "plan_closes": remedy.closes,
        "outcome": remedy.outcome,
        "lift_off_kg": remedy.lift_off,
    }


def _coverage(found: WaysCoverage) -> dict[str, Any]:
    return {
        "in_words": words.line(found),
        "looks": found.looked,
        "stopped": found.stopped,
        "gaps": [_gap(each) for each in found.gaps],
        "bands": [_band(each) for each in found.bands],
    }


def _gap(gap: WaysGap) -> dict[str, Any]:
    return {
        "in_words": words.gap(gap),
        "cabin": gap.cabin,
        "failures": list(gap.failures),
        "from_s": gap.begin,
        "to_s": gap.end,
        "reason": gap.reason,
        "nearest": None if gap.nearest is None else _way(gap.nearest),
    }


def _band(band: WaysBand) -> dict[str, Any]:
    return {
        "cabin": band.cabin,
        "failure": band.failure,
        "spans": [_span(each) for each in band.spans],
    }


def _span(span: WaysSpan) -> dict[str, Any]:
    return {
        "from_s": span.begin,
        "to_s": span.end,
        "answer": span.kind,
        "ways": list(span.ways),
        "tightest": None if span.tightest is None else _way(span.tightest),
        "reason": span.reason,
    }


def _asked(asked: WaysAsked) -> dict[str, Any]:
    point = asked.point
    return {
        "in_words": words.told(asked),
        "cabin": point.cabin,
        "crew": point.crew,
        "failure": asked.failure,
        "elapsed_s": point.elapsed,
        "stretch": point.stretch,
        "burn_that_fails": asked.fails,
        "not_examined": asked.unknown,
        "ways": [_way(each) for each in asked.ways],
    }


def _way(way: WayOut) -> dict[str, Any]:
    lands, left = way.lands, way.left
    return {
        "way": way.name,
        "open": not way.closed,
        "closed_because": way.closed,
        "called_s": way.called,
        "craft": list(way.craft),
        "burns": [
            {
                "burn": burn.what,
                "element": burn.element,
                "engine": burn.engine,
                "elapsed_s": burn.elapsed,
                "required_m_s": burn.required,
                "available_m_s": burn.available,
            }
            for burn in way.burns
        ],
        "required_m_s": way.required,
        "margin_m_s": way.margin,
        "ends": way.ends,
        "home_s": way.home,
        "latitude_deg": None if lands is None else lands.latitude / DEG,
        "longitude_deg": None if lands is None else lands.longitude / DEG,
        "first_to_run_out": "" if left is None else left.supply,
        "days_left_d": None if left is None else left.days,
        "share_of_energy_left": None if left is None else left.energy,
        "in_suits_s": way.suited,
        "shelter": "" if way.shelter is None else way.shelter.cabin,
        "in_shelter_until_s": None if way.shelter is None else way.shelter.until,
        "note": way.note,
        "estimate": way.estimate,
    }
