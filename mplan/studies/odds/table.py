"""All missions of a run as one Parquet file: what was drawn, how each ended, its figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from mplan import writing
from mplan.studies.odds import outcome
from mplan.studies.odds.inputs import DrawnNumber
from mplan.studies.odds.store import KeptMission

GROUP = 5_000  # missions that are held in memory at a time


def write(
    path: Path,
    kept: Iterable[KeptMission],
    names: Sequence[str],
    drawn: np.ndarray,
    what: Sequence[DrawnNumber],
) -> None:
    """Write missions by rising number, a row each, units in the headers.

    Departures from the plan come after how a mission ended, then its figures. The file is written
    whole or not at all.
    """
    heads = [f"{each.title} [{each.unit}]" for each in what]
    texts = [pa.field(name, pa.string()) for name in ("ended", "stopped by")]
    numbers = [pa.field(name, pa.float64()) for name in (*heads, *names)]
    first = [pa.field("mission", pa.int64()), pa.field("holds", pa.bool_())]
    schema = pa.schema([*first, *texts, *numbers])
    with writing.replacing(path) as beside, pq.ParquetWriter(beside, schema) as out:
        for group in _groups(kept):
            out.write_table(pa.Table.from_arrays(list(_columns(group, drawn)), schema=schema))


def _groups(kept: Iterable[KeptMission]) -> Iterator[list[KeptMission]]:
    left = iter(kept)
    while group := list(islice(left, GROUP)):
        yield group


def _columns(group: list[KeptMission], drawn: np.ndarray) -> Iterator[pa.Array]:
    yield pa.array([x.number for x in group], pa.int64())
    yield pa.array([x.ended == outcome.FLOWN and not x.stops for x in group], pa.bool_())
    yield pa.array([x.ended for x in group], pa.string())
    yield pa.array([x.stops for x in group], pa.string())
    for own in drawn[[x.number for x in group]].T:
        yield pa.array(own, pa.float64())
    for figures in np.array([x.figures for x in group]).T:
        yield pa.array(figures, pa.float64(), from_pandas=True)  # not flown: null
