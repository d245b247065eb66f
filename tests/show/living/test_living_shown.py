"""Supplies, energy, heat and dose as people read them: tables with units, pictures with words."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import living as lived
from mplan.checks import power_and_heat as fed
from mplan.show import living, power_and_heat, radiation
from mplan.show.drawn import over_days
from mplan.show.living.rows import sentence

CHANGES = {
    "contingency": {"time": "3 d"},
    "radiation": {"dose_limit": "150 mSv"},
    "elements.crew_module.supplies.air_flow": "60 m3/h",
    "elements.crew_module.supplies.cabin": {"volume": "6 m3", "pressure": "34 kPa"},
    "elements.service_module.radiators": {"area": "20 m2"},
    "elements.service_module.power": {
        "stored_energy": "8 kWh",
        "supply": "0 W",
        "load": "1.5 kW",
        "arrays": {"power": "9 kW", "pointing": "90 %"},
        "battery": {"charge_limit": "6 kW", "usable_depth": "70 %"},
    },
}
TABLES = (
    living.activities,
    living.outlook,
    power_and_heat.charges,
    power_and_heat.heat,
    power_and_heat.loads,
    radiation.dose,
)
PICTURES = (living.lasting, living.air, power_and_heat.charge)


@pytest.fixture(scope="module")
def plan(reference_landing, landing_plan):
    return mplan.fly(reference_landing.change(CHANGES), like=landing_plan)


@pytest.mark.parametrize(
    "table", TABLES, ids=lambda x: f"{x.__module__.split('.')[2]}-{x.__name__}"
)
def test_tables_say_units_and_have_rows(plan, table):
    """What counts something says in what."""
    shown = table(plan)
    assert "[" in repr(shown)
    assert "<table" in shown._repr_html_()
    assert "nan" not in repr(shown)


@pytest.mark.parametrize("picture", PICTURES, ids=lambda x: x.__name__)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_pictures_have_units_words_and_a_still(plan, picture, theme):
    shown = picture(plan, theme=theme)
    layout = shown.layout
    assert "[" in layout.xaxis.title.text
    assert "[" in layout.yaxis.title.text
    assert shown.summary.endswith(".")
    assert 5000 < len(shown.png()) < 80_000
    assert all(trace.name for trace in shown.data)


def test_what_is_to_be_kept_is_shaded(plan):
    """A band as high as the time stated, and lines of different dashes."""
    shown = living.lasting(plan)
    band, *lines = shown.data
    assert max(band.y) == 3.0
    assert "to be kept (3 d)" in band.name
    assert len({x.line.dash for x in lines}) == len(lines)
    assert "to be kept" in shown.summary


def test_a_cabin_that_nobody_lives_in_is_told(plan):
    assert "Nobody lives in" in repr(living.lasting(plan, "descent_stage"))


def test_the_sentence_says_what_runs_out_first(plan, landing_plan):
    first = lived.first_out(plan.flight)
    assert first.use.label in sentence(plan.flight)
    assert "(3 d to be kept)" in sentence(plan.flight)
    assert "1 d usual, none stated" in sentence(landing_plan.flight)


def test_what_is_not_examined_is_said(landing_plan):
    """No keys, no figure."""
    assert "Not examined" in repr(living.air(landing_plan))
    assert "Not examined" in repr(power_and_heat.heat(landing_plan))
    assert "no limit stated" in radiation.sentence(landing_plan.flight)
    assert "a solar particle event is not modelled" in radiation.sentence(landing_plan.flight)


def test_a_curve_that_is_thinned_keeps_its_least(plan):
    """Some thousand points become some hundred, the least among them."""
    curve = next(x for x in fed.charge_curves(plan.flight) if len(x.t) > 2000)
    kept = over_days.thinned(curve.left)
    assert len(kept) <= over_days.MOST + 2
    assert curve.left[kept].min() == curve.left.min()
    assert curve.left[kept].max() == curve.left.max()


def test_phases_of_loads_are_those_of_the_lander_too(plan):
    rows = fed.load_rows(plan.flight)
    assert {x.phase for x in rows if x.element == "ascent_stage" and not x.standby} >= {
        "descent",
        "on the Moon",
        "ascent and rendezvous",
    }
