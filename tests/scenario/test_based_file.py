"""A changed scenario as a short file based on its own: read back, it is the same."""

from __future__ import annotations

import pytest

import mplan
from mplan.scenario import ScenarioError, based_file, catalogue
from mplan.scenario.based_file import Note
from mplan.vehicle import swap
from tests.conftest import MISSIONS


def test_changes_stand_with_their_notes(reference_landing, tmp_path):
    """Each change under the innermost note that it lies in; what has none is told apart."""
    changed = reference_landing.change(
        {
            "elements.ascent_stage.tanks.MMH.load": "0.97 t",
            "elements.ascent_stage.dry_mass": "2 t",
            "mission.surface_stay": "40 h",
        }
    )
    notes = [
        Note(("elements", "ascent_stage"), "lighter"),
        Note(("elements", "ascent_stage", "tanks", "MMH", "load"), "why this load"),
    ]
    written = based_file.write(changed, tmp_path / "new.toml", ["A study."], notes)
    assert written.hash == changed.hash
    lines = (tmp_path / "new.toml").read_text("utf-8").splitlines()
    assert lines[1] == "# A study."
    assert lines.index("# lighter") + 1 == lines.index('elements.ascent_stage.dry_mass = "2 t"')
    load = 'elements.ascent_stage.tanks.MMH.load = "0.97 t"'
    assert lines.index("# why this load") + 1 == lines.index(load)
    stay = 'mission.surface_stay = "40 h"'
    assert lines.index("# changed beside that") + 1 == lines.index(stay)


def test_another_engine_stands_by_its_file(first_landing, tmp_path):
    """An engine of the catalogue is taken in from its file, and read back it is the same."""
    mount = "departure_stage", "main"
    listed = next(
        x
        for x in catalogue.read(catalogue.folder(first_landing, *mount))
        if swap.fits(first_landing, *mount, x.engine) and x.name != "Dimity-2R"
    )
    changed = swap.swapped(first_landing, *mount, listed, 2)
    notes = [Note(("elements", mount[0], "engines", mount[1]), "another engine", listed.file)]
    written = based_file.write(changed, tmp_path / "new.toml", [], notes)
    assert written.hash == changed.hash
    assert written.elements[mount[0]].engines["main"].label == listed.name
    assert ".from = " in (tmp_path / "new.toml").read_text("utf-8")


def test_what_a_short_file_cannot_say_is_written_out(first_landing, tmp_path):
    """A key of an element's file taken out needs all tables in one file."""
    changed = first_landing.change("elements.departure_stage.tanks.hydrogen.heat_input", None)
    written = based_file.write(changed, tmp_path / "new.toml", ["A study."])
    assert written.hash == changed.hash
    assert "based_on" not in (tmp_path / "new.toml").read_text("utf-8")


def test_the_file_that_is_read_is_not_written_over(tmp_path):
    """A scenario is not based on itself; the file stays as it was."""
    path = tmp_path / "mine.toml"
    path.write_text((MISSIONS / "low_orbit.toml").read_text("utf-8"), "utf-8")
    changed = mplan.load(path).change("mission.crew_mass", "101 kg")
    with pytest.raises(ScenarioError, match="read from this file; accepted: another name"):
        based_file.write(changed, path, [])
    assert mplan.load(path).mission.crew_mass == 100.0
