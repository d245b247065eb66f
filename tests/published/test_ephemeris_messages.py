"""The example of the standard for orbit ephemeris messages: form read, centre refused."""

from pathlib import Path

import pytest

import mplan

FILE = Path(__file__).parent / "data" / "ephemeris_message.oem"


def test_an_arc_about_mars_is_refused():
    """The example counts from Mars, of which the kit knows nothing."""
    with pytest.raises(mplan.OemError, match='line 10: CENTER_NAME: found "MARS BARYCENTER"'):
        mplan.read_oem(FILE)


def test_the_rest_of_the_example_is_read(tmp_path):
    """With a centre the kit knows: states, usable span, comment and covariance of the figure."""
    file = tmp_path / "example.oem"
    file.write_text(FILE.read_text("ascii").replace("MARS BARYCENTER", "EARTH"), "ascii")
    arc = mplan.read_oem(file).arcs[0]
    assert (arc.name, arc.object_id) == ("MARS GLOBAL SURVEYOR", "1996-062A")
    assert (arc.interpolation, arc.degree, arc.time_system) == ("HERMITE", 7, "UTC")
    # EME2000 to ICRF turns by 23 mas: a third of a metre, less than the last digit printed.
    assert arc.states[0] == pytest.approx(
        [2789.619e3, -280.045e3, -1746.755e3, 4733.72, -2495.86, -1041.95], abs=0.5
    )
    assert arc.first - arc.times[0] == pytest.approx(600.0, abs=1e-6)
    assert arc.times[-1] - arc.last == pytest.approx(300.0, abs=1e-6)
    assert arc.times[1] - arc.times[0] == pytest.approx(60.0, abs=1e-6)
    assert arc.comments == ("It is to be used for DSN scheduling purposes only.",)
    assert "covariance left out (1)" in arc.notes
