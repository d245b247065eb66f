"""The cases of a study as files: CSV and Parquet, units in the headers, figures not rounded."""

from __future__ import annotations

import io

from mplan.show.trades.tables import frame
from mplan.studies.trades import Trades


def csv_text(found: Trades) -> str:
    """Return the cases as CSV, a blank where a case has no such figure."""
    return frame(found).to_csv(index=False, lineterminator="\n")


def parquet(found: Trades) -> bytes:
    """Return the cases as a Parquet file; what it is about stands in the file's metadata.

    A column is of numbers, of truth values or of text: each value is one of those, or none.
    """
    import pyarrow as pa
    from pyarrow import parquet as files

    read = frame(found)
    arrays = [_array(list(read[name])) for name in read]
    about = {"study": found.study.name, "scenario": found.study.scenario.hash}
    table = pa.Table.from_arrays(arrays, names=list(read)).replace_schema_metadata(about)
    out = io.BytesIO()
    files.write_table(table, out)
    return out.getvalue()


def _array(values: list[object]) -> object:
    """Return a column with a type that follows from its values, not from those that are missing."""
    import pyarrow as pa

    known = [None if x is None or x != x else x for x in values]
    there = [x for x in known if x is not None]
    if there and all(isinstance(x, bool) for x in there):
        return pa.array(known, pa.bool_())
    if there and all(type(x) is int for x in there):
        return pa.array(known, pa.int64())
    if all(isinstance(x, (int, float)) for x in there):
        return pa.array(known, pa.float64())
    return pa.array([None if x is None else str(x) for x in known], pa.string())
