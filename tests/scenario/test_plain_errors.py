"""In a notebook, an input that cannot be used shows its message and nothing of the inside."""

from __future__ import annotations

import nbformat
import pytest

from mplan import kernel
from mplan.calculations.oem_reading import OemError
from mplan.scenario import ScenarioError
from mplan.scenario.arguments import ArgumentError
from mplan.scenario.quantities import Unreadable
from mplan.show.reached import NotShown

BAD = '{"orbits.parking_altitude": "190 kg"}'


def test_a_bad_change_shows_its_message(reference_landing, tmp_path):
    """One line with key, what was found and what is accepted; other errors keep their traceback."""
    load = f"import mplan\nplan = mplan.load({str(reference_landing.source.resolve())!r})"
    cells = [nbformat.v4.new_code_cell(x) for x in (load, f"plan.change({BAD})", "1 / 0")]
    book = nbformat.v4.new_notebook(cells=cells)
    failed = kernel.execute_all({"book": book}, tmp_path)["book"]
    assert len(failed) == 2
    bad, other = (cell.outputs[0] for cell in book.cells[1:])
    [line] = bad.traceback
    assert line.startswith("ScenarioError: changed value: orbits.parking_altitude: found")
    assert "accepted: a length with its unit" in line
    assert "Traceback" in "".join(other.traceback)


@pytest.mark.parametrize("wrong", [5, ["orbits.parking_altitude"], {5: "190 km"}, None])
def test_what_is_no_table_of_changes(reference_landing, wrong):
    with pytest.raises(ScenarioError, match=r"changed value: found .*; accepted: keys, with a dot"):
        reference_landing.change(wrong)


@pytest.mark.parametrize("error", [NotShown, Unreadable])
def test_other_refusals_are_plain_too(error):
    assert error("the message")._render_traceback_() == [f"{error.__name__}: the message"]


def test_arguments_and_files_are_refused_plainly():
    [line] = ArgumentError("stay", "5", "a time")._render_traceback_()
    assert line == "ArgumentError: stay: found 5; accepted: a time"
    [line] = OemError("arcs.oem", 3, "EPOCH", "found none")._render_traceback_()
    assert line == "OemError: arcs.oem, line 3: EPOCH: found none"
