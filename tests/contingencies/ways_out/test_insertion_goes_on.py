"""An insertion that leads nowhere if cut off goes on to its end, where its engine is sound."""

import pytest

from mplan.contingencies.ways_out import every, lost_decides
from mplan.contingencies.ways_out.outbound import to_the_moon
from mplan.contingencies.ways_out.outbound.on_the_way import INSERTION
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut


@pytest.fixture
def inserting(landing_plan):
    """Half-way through the burn into lunar orbit."""
    burn = landing_plan.flight.burn_of(INSERTION)
    return CabinPoint(landing_plan.flight, "crew_module", burn.elapsed + 0.5 * burn.duration)


@pytest.fixture
def cut_off_leads_nowhere(monkeypatch):
    shut = WayOut("no way", 0.0, (), closed="it is made up")
    monkeypatch.setattr(to_the_moon, "from_closed_orbit", lambda way: iter([shut]))
    lost_decides._found.cache_clear()  # what is remembered was worked out without this
    yield
    lost_decides._found.cache_clear()


def going_on(ways):
    return [x for x in ways if to_the_moon.GOES_ON in x.note]


def test_it_is_home_as_from_the_orbit_planned(inserting):
    """What is told in the burn is what there is a few seconds after it."""
    flight, burn = inserting.flight, inserting.burning
    later = CabinPoint(flight, inserting.cabin, inserting.passage.after.elapsed + 5.0)
    after = {x.name: x for x in every.ways_out(later, "called off") if not x.closed}
    ways = going_on(every.ways_sooner(inserting, "cabin leaks"))
    slow = [x for x in ways if x.name in after and not x.closed]
    assert slow
    for way in slow:
        assert way.burns[0].elapsed > burn.elapsed + burn.duration
        assert way.required == pytest.approx(after[way.name].required, abs=1.0)


def test_it_goes_on_where_nothing_else_leads_home(inserting, cut_off_leads_nowhere):
    ways = every.ways_out(inserting, "called off")
    assert any(not x.closed for x in going_on(ways))


def test_not_once_its_engine_is_lost(inserting, cut_off_leads_nowhere):
    assert not going_on(every.ways_out(inserting, "main engine lost"))


def test_not_where_a_way_leads_home_at_once(inserting):
    ways = every.ways_out(inserting, "called off")
    assert any(not x.closed for x in ways)
    assert not going_on(ways)
