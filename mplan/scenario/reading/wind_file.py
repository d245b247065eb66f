"""A wind profile as a file: CSV with altitude, speed and direction, units named in the header.

    altitude [km], speed [m/s], from [deg]
    0.0, 6.0, 90

Directions are where the wind comes from, counted from north through east. Lines that begin with #
are remarks. Rows are handed on as quantities, as a scenario states them.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from math import isfinite

from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading import text_file
from mplan.scenario.wording import choices, shown

MOST_ROWS = 5000
HEADER = {"altitude": ("m", "km", "ft"), "speed": ("m/s", "km/h", "ft/s"), "from": ("deg", "rad")}
EXAMPLE = "altitude [km], speed [m/s], from [deg]"
_HEAD = re.compile(r"([a-z]+)\s*\[([^\]]*)\]")


def read_wind(name: str) -> list[list[str]]:
    """Return the rows of a wind file as quantities: altitude, speed, where it comes from.

    ScenarioError with the lines of what is wrong. Values are not held against bounds here.
    """
    lines = list(_lines(text_file.read(name)))
    if not lines:
        raise ScenarioError([Problem(name, "", f"found no header; accepted: {EXAMPLE}")])
    (first, header), *rows = lines
    units, wrong = _units(f"{name}:{first}", header)
    found: list[list[str]] = []
    for line, cells in rows:
        problem = _problem(cells)
        if problem:
            wrong.append(Problem(f"{name}:{line}", "", problem))
        else:
            found.append([f"{cell} {unit}" for cell, unit in zip(cells, units, strict=False)])
    if not wrong and len(rows) < 2:
        text = f"found {len(rows)} rows of wind; accepted: two or more"
        wrong.append(Problem(f"{name}:{lines[-1][0]}", "", text))
    if len(rows) > MOST_ROWS:
        text = f"found {len(rows)} rows of wind; accepted: at most {MOST_ROWS}"
        wrong.append(Problem(name, "", text))
    if wrong:
        raise ScenarioError(wrong)
    return found


def lines_of_rows(name: str) -> list[int]:
    """Return the line of each row of a wind file."""
    return [line for line, _ in list(_lines(text_file.read(name)))[1:]]


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each line that says something, by its number, as its cells."""
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield number, [cell.strip() for cell in next(csv.reader([line], skipinitialspace=True))]


def _units(place: str, header: list[str]) -> tuple[list[str], list[Problem]]:
    """Return the units of the three columns, and what is wrong with the header."""
    matches = [_HEAD.fullmatch(cell) for cell in header]
    names = [each[1] if each else cell for each, cell in zip(matches, header, strict=True)]
    if names != list(HEADER) or not all(matches):
        text = f"found the header {shown(', '.join(header))}; accepted: like {shown(EXAMPLE)}"
        return [], [Problem(place, "", text)]
    units = [each[2] for each in matches if each]
    wrong = [
        Problem(place, name, f"found the unit {shown(unit)}; accepted: {choices(HEADER[name])}")
        for name, unit in zip(names, units, strict=True)
        if unit not in HEADER[name]
    ]
    return units, wrong


def _problem(cells: list[str]) -> str:
    """Return what is wrong with the cells of a row; "" if nothing is."""
    if len(cells) != len(HEADER):
        return f"found {len(cells)} values; accepted: three, {', '.join(HEADER)}"
    for cell, name in zip(cells, HEADER, strict=True):
        try:
            good = isfinite(float(cell))
        except ValueError:
            good = False
        if not good:
            return f"found {shown(cell)} as {name}; accepted: a number, its unit in the header"
    return ""
