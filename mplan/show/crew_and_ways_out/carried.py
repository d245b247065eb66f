"""Gaps as data in a cell's output: whoever reads the executed workbook judges the plan by them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from mplan.contingencies.ways_out.coverage import WaysCoverage, WaysGap

GAPS = "application/vnd.mplan.ways-out"  # the kind of output


def gaps_text(found: WaysCoverage) -> str | None:
    """Return the gaps of a whole coverage; None where it was stopped, and not all is known."""
    if found.stopped:
        return None
    told = (gap._replace(nearest=None)._asdict() for gap in found.gaps)
    return json.dumps([*told])


def gaps_in(outputs: Iterable[Mapping[str, str]]) -> tuple[WaysGap, ...] | None:
    """Return the gaps that outputs carry, without their nearest ways; None where none was flown."""
    text = next((each[GAPS] for each in outputs if GAPS in each), None)
    if text is None:
        return None
    told = ({**each, "failures": tuple(each["failures"])} for each in json.loads(text))
    return tuple(WaysGap(**each) for each in told)
