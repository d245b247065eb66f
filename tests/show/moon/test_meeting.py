"""The rendezvous in tables and a picture: what they show is what was flown."""

from __future__ import annotations

import json

import pytest

import mplan
from mplan.show import moon
from mplan.show.drawn.figure import PLOTLY
from mplan.show.moon import rendezvous_tables, rendezvous_track
from mplan.show.notebook import Words

TABLES = (moon.rendezvous_burns, moon.schedules, moon.rescue)


@pytest.fixture(scope="module")
def direct(reference_landing):
    return mplan.fly(reference_landing.change("rendezvous.schedule", "direct"))


def test_the_burns_are_those_flown(landing_plan):
    """A row each, with time after insertion, delta-v and contact."""
    text = str(moon.rendezvous_burns(landing_plan))
    assert len(text.splitlines()) == 1 + len(landing_plan.flight.end.rendezvous.burns)
    assert "terminal phase initiation" in text
    assert "00:56:3" in text


def test_the_schedules_are_four(landing_plan):
    """Direct, and coelliptic from the first, second and third apolune."""
    rows = str(moon.schedules(landing_plan)).splitlines()[1:]
    assert [row.split()[0] for row in rows] == ["direct", *["coelliptic"] * 3]


def test_the_rescues_say_what_is_left(landing_plan):
    """Each place and way, in metres a second after the way home."""
    text = str(moon.rescue(landing_plan))
    assert "margin after the return burns [m/s]" in text
    assert "direct" in text


def test_the_figures(landing_plan, reference_landing):
    """Facts name the schedule and the time; one that does not fit says so."""
    facts = rendezvous_tables.facts(landing_plan)
    assert facts["schedule"] == "coelliptic"
    assert "does not fit" not in facts
    early = mplan.fly(reference_landing.change("lunar_ascent.after_pass", "-4 min"))
    assert rendezvous_tables.facts(early)["does not fit"].startswith("it has passed the target")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_picture_holds_the_track(landing_plan, direct, theme):
    """From the insertion behind and below to the ship, each burn named; JSON and PNG alike."""
    for plan in (landing_plan, direct):
        picture = moon.rendezvous(plan, theme=theme)
        track, burns, ship = picture.data
        flown = plan.flight.end.rendezvous.meeting
        assert track.x[0] == pytest.approx(flown.track.along[0] / 1e3, abs=0.01)
        assert track.y[-1] == pytest.approx(0.0, abs=0.1)
        assert (ship.x[0], ship.y[0]) == (0.0, 0.0)
        named = [text.split(" initiation")[0].strip() for text in burns.text]
        assert named[-1].startswith("terminal phase")
        last = flown.terminal
        place = flown.track.t.searchsorted(last.t - flown.active.t)
        assert burns.x[-1] == pytest.approx(flown.track.along[place] / 1e3, abs=0.5)
    bundle, _ = moon.rendezvous(direct, theme=theme)._repr_mimebundle_()
    assert json.dumps(bundle[PLOTLY])
    assert bundle["text/plain"].startswith("The ascent stage comes to the ship from ")
    assert len(bundle["image/png"]) > 5000


def test_many_turns_are_cut_short(landing_plan, reference_landing):
    """A third revolution is left of the picture, and the words say so."""
    long = rendezvous_track.drawing(
        mplan.fly(reference_landing.change("rendezvous.revolutions", 3))
    )
    assert long.summary.endswith("Earlier turns lie to the left.")
    assert min(long.traces[0]["x"]) < -1500.0 < -700.0 < long.x["range"][0]
    whole = rendezvous_track.drawing(landing_plan)
    assert whole.x["range"][0] < min(whole.traces[0]["x"])
    assert "Earlier" not in whole.summary


def test_ticks_of_the_height_are_round(landing_plan):
    """Within the drawing's range and evenly apart."""
    axis = rendezvous_track.drawing(landing_plan).y
    steps = {b - a for a, b in zip(axis["tickvals"], axis["tickvals"][1:], strict=False)}
    assert steps == {20}
    assert axis["range"][0] < axis["tickvals"][0]


def test_without_a_rendezvous(orbital_plan):
    """Sentences in place of tables and picture; the drawing itself refuses."""
    assert rendezvous_tables.facts(orbital_plan) == {}
    for shown in (*TABLES, moon.rendezvous):
        assert isinstance(shown(orbital_plan), Words)
        assert str(shown(orbital_plan)) == rendezvous_tables.NO_RENDEZVOUS
    with pytest.raises(ValueError, match="this mission has no rendezvous"):
        rendezvous_track.drawing(orbital_plan)
