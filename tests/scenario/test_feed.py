"""Crossfeed, settlers, ratings and heat that do not fit have one clear message each."""

from __future__ import annotations

import pytest

from mplan.scenario import load

ENGINE = "elements.transfer_stage.engines.main"
ANCHOR = "mixture_ratio = 5.7\n"
HYDROGEN = 'load = "14.6 t"\n'
THRUSTERS = (
    "\n[elements.crew_module.engines.thrusters]\n"
    'purpose = "thrusters"\ncount = 12\nthrust_vacuum = "400 N"\nisp_vacuum = "225 s"\n'
    'starts = 500\nqualified_duration = "900 s"\nfuel = "hydrazine"\n'
    '\n[elements.crew_module.tanks.hydrazine]\npropellant = "hydrazine"\nload = "90 kg"\n'
)
CREW_POWER = 'load = "1.6 kW"\n'


def test_all_of_it_stated_well(folder, edit):
    edit(CREW_POWER, CREW_POWER + THRUSTERS)
    edit(
        ANCHOR,
        f'{ANCHOR}settled_by = "crew_module.thrusters"\nlongest_burn = "400 s"\n'
        'restart_interval = "80 min"\npropellants = ["liquid hydrogen", "liquid oxygen"]\n'
        'mass = "2.1 t"\nnonrecurring_cost = 40\nunit_cost = 2.5\n'
        'development_status = "qualified"\ndelivery_time = "14 months"\n',
    )
    edit(HYDROGEN, f'{HYDROGEN}heat_input = "1.5 kW"\n')
    engine = load("landing.toml").elements["transfer_stage"].engines["main"]
    assert (engine.settled_by, engine.restart_interval) == ("crew_module.thrusters", 4800.0)
    assert (engine.nonrecurring_cost, engine.unit_cost) == (40, 2.5)
    assert (engine.development_status, engine.mass) == ("qualified", 2100.0)
    assert engine.longest_burn == 400.0
    assert load("landing.toml").elements["transfer_stage"].tanks["hydrogen"].heat_input == 1500.0


# what is written into the engine, the whole complaint after its file and line
ONE_PROBLEM = {
    "settler of no element": (
        'settled_by = "crew_modul.thrusters"\n',
        f'{ENGINE}.settled_by: no element is called "crew_modul"; did you mean "crew_module"?',
    ),
    "no such settler": (
        'settled_by = "crew_module.main"\n',
        f'{ENGINE}.settled_by: no engine of crew_module is called "main"; there is none',
    ),
    "settled by a main engine": (
        'settled_by = "service_module.main"\n',
        f'{ENGINE}.settled_by: found "service_module.main", a main engine; accepted: thrusters',
    ),
    "one burn longer than all": (
        'longest_burn = "700 s"\n',
        f'{ENGINE}.longest_burn: found "700 s"; accepted: at most qualified_duration, "600 s"',
    ),
    "more settle than there are": (
        "settling_count = 4\n",
        f"{ENGINE}.settling_count: found 4; accepted: at most its count, 1",
    ),
    "cost of less than nothing": (
        "unit_cost = -3\n",
        f"{ENGINE}.unit_cost: found -3; accepted: a number without a unit, "
        "at least 0, at most 1,000,000",
    ),
    "unknown propellant": (
        'propellants = ["liquid hydrgen"]\n',
        f'{ENGINE}.propellants.0: unknown "liquid hydrgen"; did you mean "liquid hydrogen"?',
    ),
    "three propellants": (
        'propellants = ["kerosene", "liquid oxygen", "MMH"]\n',
        f"{ENGINE}.propellants: found a list; accepted: a list with at least one entry, at most 2",
    ),
    "no propellant": (
        "propellants = []\n",
        f"{ENGINE}.propellants: found an empty list; accepted: one or two entries",
    ),
    "crossfeed from nowhere": (
        'crossfeed = "second_stage"\n',
        f'{ENGINE}.crossfeed: no element is called "second_stage"; did you mean "ascent_stage"?',
    ),
    "crossfeed from itself": (
        'crossfeed = "transfer_stage"\n',
        f"{ENGINE}.crossfeed: found the element itself, from which an engine draws without it",
    ),
}


@pytest.mark.parametrize(("more", "line"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_one_problem(edit, complaints, more, line):
    edit(ANCHOR, ANCHOR + more)
    found = [each.split(": ", 1)[1] for each in complaints() if ENGINE in each]
    assert found == [line]


def test_heat_said_twice(edit, complaints):
    edit(HYDROGEN, f'{HYDROGEN}heat_input = "1 kW"\nboil_off = "2 %"\n')
    assert complaints() == [
        "landing.toml:113: elements.transfer_stage.tanks.hydrogen.boil_off: given together with "
        "heat_input; leave one of the two out"
    ]


def test_a_tank_of_another_element_needs_a_crossfeed(edit, complaints):
    edit('fuel = "MMH"\noxidiser = "NTO"\nmixture_ratio = 1.8\n', 'fuel = "hydrazine"\n')
    told = [each.split(": ", 1)[1] for each in complaints()]
    assert told[-1] == (
        "elements.service_module.engines.main.fuel: no tank of this element is called "
        '"hydrazine"; "ascent_stage" has one, but an engine draws from its own element unless it '
        'says: crossfeed = "ascent_stage"'
    )


def test_a_crossfeed_draws_from_the_other_element(folder, edit):
    edit('fuel = "hydrazine"', 'fuel = "MMH"\noxidiser = "NTO"\nmixture_ratio = 1.8')
    line = 'qualified_duration = "520 s"\n'
    edit(line, f'{line}crossfeed = "service_module"\n')
    edit('tanks = { hydrazine = { propellant = "hydrazine", load = "2.9 t" } }\n', "")
    assert load("landing.toml").elements["ascent_stage"].engines["main"].crossfeed


def test_no_crossfeed_in_the_climb(state_events, edit, complaints):
    state_events()
    edit(ANCHOR, f'{ANCHOR}crossfeed = "service_module"\n')
    assert any(
        each.endswith(
            f'{ENGINE}.crossfeed: found "service_module"; accepted: none in the climb, where '
            "each stage burns its own"
        )
        for each in complaints()
    )
