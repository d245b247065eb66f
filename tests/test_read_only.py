"""Arrays in records are read-only: a plan that is looked at cannot change the next one."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

import numpy as np
import pytest

import mplan
from mplan.physics.vectors import freeze, frozen
from mplan.studies import maps, stay


def arrays(value: object, path: str, seen: set[int]) -> Iterator[tuple[str, np.ndarray]]:
    """Yield every array that a record holds, at any depth, with the way to it."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, np.ndarray):
        yield path, value
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from arrays(part, f"{path}[{key!r}]", seen)
    elif isinstance(value, (tuple, list)):
        names = getattr(value, "_fields", range(len(value)))
        for name, part in zip(names, value, strict=True):
            yield from arrays(part, f"{path}.{name}", seen)
    elif is_dataclass(value):
        kept = {x.name for x in fields(value)} | set(vars(value))  # what properties remember too
        for name in kept:
            yield from arrays(getattr(value, name), f"{path}.{name}", seen)


def writeable(record: object) -> tuple[list[str], int]:
    """Return the ways to arrays that can be changed, and how many arrays there are."""
    found = list(arrays(record, type(record).__name__, set()))
    return [path for path, array in found if array.flags.writeable], len(found)


def test_a_plan_cannot_be_changed(any_plan: mplan.Plan):
    """Every array of a flown plan, those of the states between events included."""
    changeable, count = writeable(any_plan)
    assert changeable == []
    assert count > 25


def test_a_track_worked_out_later_neither(landing_plan: mplan.Plan):
    """What a property remembers is handed out again as well."""
    assert landing_plan.flight.end.rendezvous.meeting.track.range.size
    assert writeable(landing_plan)[0] == []


def test_writing_is_refused(landing_plan: mplan.Plan):
    """The mistake itself: metres turned into kilometres in place."""
    altitude = landing_plan.flight.end.climb.track.altitude
    before = altitude.copy()
    with pytest.raises(ValueError, match="read-only"):
        altitude /= 1e3
    assert np.array_equal(landing_plan.flight.end.climb.track.altitude, before)


def test_no_record_has_a_mapping_for_its_default():
    """Python 3.11 refuses the module then; older and newer ones say nothing."""
    records = 0
    for info in pkgutil.walk_packages(mplan.__path__, "mplan."):
        if info.name.rpartition(".")[2] in ("__main__", "wheel", "kernel"):
            continue
        for kind in vars(importlib.import_module(info.name)).values():
            if isinstance(kind, type) and is_dataclass(kind):
                records += 1
                assert not [x.name for x in fields(kind) if isinstance(x.default, Mapping)], kind
    assert records > 150


def test_the_search_finds_a_writeable_array():
    """The search itself tells an array that can be changed, in a tuple in a mapping."""
    assert writeable({"a": (np.zeros(3), frozen(np.zeros(2)))})[0] == ["dict['a'].0"]


def test_freezing_goes_into_tuples():
    """`freeze` makes the arrays of a record read-only, those in its tuples too."""

    class Record:
        def __init__(self) -> None:
            self.one, self.more = np.zeros(3), (1.0, (np.zeros(2),))

    record = Record()
    freeze(record)
    assert not record.one.flags.writeable
    assert not record.more[1][0].flags.writeable


def test_results_of_studies_cannot_be_changed(landing_plan: mplan.Plan):
    """The Sun and the passes over the site, as they are kept for tables and charts."""
    changeable, count = writeable((stay.sky(landing_plan), stay.passes(landing_plan)))
    assert changeable == []
    assert count >= 2


def test_a_map_cannot_be_changed():
    """The delta-v of a map, which colours and tables share."""
    assert writeable(maps.Map((1.0,), (1.0,), np.zeros((1, 1))))[0] == []
