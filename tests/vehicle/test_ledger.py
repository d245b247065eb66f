"""Propellant is owned, drawn in the engine's ratio, and every second is counted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan import ScenarioError
from mplan.contract import document
from mplan.flight import walk
from mplan.show.stack import residuals
from mplan.vehicle import ledger


@pytest.fixture
def on_pad(reference_landing):
    return ledger.filled(reference_landing)


def test_tanks_start_full_with_their_residuals_set_apart(reference_landing, on_pad):
    """The ledger on the pad holds what the scenario loads."""
    tank = ("second_stage", "oxygen")
    load = reference_landing.elements["second_stage"].tanks["oxygen"].load
    assert on_pad.levels[tank] == load
    assert on_pad.unusable[tank] == pytest.approx(load * reference_landing.margins.residuals)


def test_a_tank_states_its_own_residuals(reference_landing, on_pad):
    """In kilograms, whatever the share in the margins; the other tanks keep that share."""
    stated = reference_landing.change("elements.second_stage.tanks.oxygen.residuals", "850 kg")
    own = ledger.filled(stated).unusable
    assert own["second_stage", "oxygen"] == 850.0
    others = {key: kg for key, kg in own.items() if key != ("second_stage", "oxygen")}
    assert others == {key: on_pad.unusable[key] for key in others}


def test_residuals_are_a_part_of_the_load(reference_landing):
    """More than is loaded is no residual."""
    with pytest.raises(ScenarioError, match=r'found "900 t"; accepted: at most load, "220.6 t"'):
        reference_landing.change("elements.second_stage.tanks.oxygen.residuals", "900 t")


def test_residuals_are_told_in_kilograms(landing_plan):
    """Tank by tank, beside what else was left; what the first stage leaves is residuals alone."""
    table = residuals(landing_plan).frame.set_index(["element", "tank"])
    kept = landing_plan.flight.start.ledger.unusable
    assert len(table) == len(kept)
    row = table.loc[("first stage", "oxygen")]
    assert row["residuals [kg]"] == pytest.approx(1.23e6 * 0.012)
    assert row["residuals [% of the load]"] == 1.2
    assert row["left beside them at the end [kg]"] == 0.0
    told = {(x["element"], x["tank"]): x for x in document(landing_plan)["tanks"]}
    assert told["service_module", "NTO"]["residuals_kg"] == kept["service_module", "NTO"]
    assert told["service_module", "NTO"]["left_usable_kg"] > 0.0


def test_shares_follow_the_mixture_ratio(reference_landing):
    """Oxidiser over fuel is the stated ratio, and the shares are the whole flow."""
    engine = reference_landing.elements["transfer_stage"].engines["main"]
    shares = ledger.shares(engine)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert shares["oxygen"] / shares["hydrogen"] == pytest.approx(engine.mixture_ratio)


def test_a_single_tank_gives_the_whole_flow(reference_landing):
    """An engine without an oxidiser draws from its one tank."""
    assert ledger.shares(reference_landing.elements["ascent_stage"].engines["thrusters"]) == {
        "thruster_fuel": 1.0
    }


def test_the_tank_that_runs_dry_first_decides(reference_landing, on_pad):
    """Usable propellant is limited by the scarcer of fuel and oxidiser, at the mixture ratio."""
    engine = reference_landing.elements["transfer_stage"].engines["main"]
    keep = 1.0 - reference_landing.margins.residuals
    tanks = reference_landing.elements["transfer_stage"].tanks
    fuel, oxidiser = tanks["hydrogen"].load * keep, tanks["oxygen"].load * keep
    ratio = engine.mixture_ratio
    assert on_pad.usable("transfer_stage", engine) == pytest.approx(
        min(fuel * (1.0 + ratio), oxidiser * (1.0 + 1.0 / ratio))
    )


def test_a_burn_draws_in_the_ratio_and_counts(reference_landing, on_pad):
    """After a burn the tanks are down by their shares; ignition and seconds are counted."""
    engine = reference_landing.elements["service_module"].engines["main"]
    once = on_pad.after_burn("service_module", "main", engine, 280.0, 10.0)
    twice = once.after_burn("service_module", "main", engine, 140.0, 5.0)
    key = ("service_module", "main")
    assert twice.starts[key] == 2
    assert twice.seconds[key] == pytest.approx(15.0)
    drawn = on_pad.levels["service_module", "NTO"] - twice.levels["service_module", "NTO"]
    assert drawn == pytest.approx(420.0 * 1.8 / 2.8)
    assert on_pad.starts == {}  # the first ledger is as it was


def test_nothing_else_is_drawn(reference_landing, on_pad):
    """A burn touches the tanks its engine names and no other element's."""
    engine = reference_landing.elements["service_module"].engines["main"]
    after = on_pad.after_burn("service_module", "main", engine, 280.0, 10.0)
    touched = {key for key in on_pad.levels if on_pad.levels[key] != after.levels[key]}
    assert touched == {("service_module", "MMH"), ("service_module", "NTO")}


def test_an_unstated_engine_is_the_main_one(reference_landing):
    """Without a name the main engine burns, not the thrusters."""
    name, engine = ledger.main_engine(reference_landing.elements["ascent_stage"])
    assert (name, engine.purpose) == ("main", "main")


def test_no_engine_at_all(reference_landing):
    """An element that cannot push says so."""
    with pytest.raises(KeyError, match="the element has no engine"):
        ledger.main_engine(reference_landing.elements["lander_bay"])


def test_what_is_aboard_is_the_sum_of_the_tanks_after_every_event(landing_plan):
    """What a ledger sums up once goes on into the next only while its levels do."""
    for passage in landing_plan.flight.passages:
        books = passage.after.ledger
        for name in landing_plan.scenario.order:
            tanks = sum(
                kilograms for (owner, _), kilograms in books.levels.items() if owner == name
            )
            assert books.propellant(name) == pytest.approx(tanks, rel=1e-15)
            assert books.propellant(name) == replace(books).propellant(name)


def test_the_sums_follow_a_burn(on_pad, reference_landing):
    name, engine = ledger.main_engine(reference_landing.elements["service_module"])
    full = on_pad.propellant("service_module")
    after = on_pad.after_burn("service_module", name, engine, 100.0, 1.0)
    assert after.propellant("service_module") == pytest.approx(full - 100.0, abs=1e-9)
    assert on_pad.propellant("service_module") == full


def test_what_was_weighed_follows_what_people_use(first_landing):
    """The stores of every element after every event, with nothing remembered, in any order."""
    elements = first_landing.elements
    states = [x.after for x in walk.fly(first_landing).passages]
    weighed = {}
    for state in (*states, *reversed(states)):
        for name, element in elements.items():
            found = state.ledger.stores(name, element)
            assert found == replace(state.ledger).stores(name, element)
            weighed.setdefault(name, set()).add(found)
    assert any(len(x) > 1 for x in weighed.values())
    lighter = elements["crew_module"].model_copy(update={"supplies": None, "power": None})
    ledger = states[-1].ledger
    assert ledger.stores("crew_module", lighter) != ledger.stores(
        "crew_module", elements["crew_module"]
    )
