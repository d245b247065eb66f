"""A mission of several ships: pads, turnarounds, units and a control team for each lift-off."""

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

import mplan
from mplan.programme import load_programme, plan_programme
from mplan.scenario import ScenarioError
from tests.programme.conftest import SMALL

SCENARIOS = Path(mplan.__file__).parent.parent / "scenarios"
SHIPS = """
[pads.south]
turnaround = "25 d"

[missions.pair]
scenario = "{scenario}"
pad = "north"
ships.lander = {{pad = "south", stacking = "35 d"}}
built_as = {{{built_as}}}
control_team = "day"
stacking = "20 d"
duration = "10 d"
operations_cost = "1 M"

[rehearsals.drill]"""


@pytest.fixture(scope="module")
def scenario():
    """The lander lifts off so many days ahead as the scenario says."""
    return mplan.load(SCENARIOS / "crew_follows.toml")


@pytest.fixture
def text(scenario):
    """All its elements come off one line, which is made fast enough."""
    names = [*scenario.stack, *scenario.ships["lander"].stack]
    built = ", ".join(f'{x} = "stage"' for x in names)
    pair = SHIPS.format(scenario=SCENARIOS / "crew_follows.toml", built_as=built)
    return SMALL.replace("[rehearsals.drill]", pair.lstrip()).replace('"4 /year"', '"90 /year"')


def by_key(calendar):
    return {task.key: task for task in calendar.tasks}


def test_each_ship_has_its_pad_its_units_and_its_day(written, text, scenario):
    ahead = (scenario.dates.launch_day - scenario.views["lander"].dates.launch_day).days
    assert ahead > 0
    calendar = plan_programme(load_programme(written(text)), remedies=False)
    found = by_key(calendar)
    main = found["flight:pair"].begins
    lander = main - timedelta(days=ahead)
    assert (found["stack:pair"].ends, found["stack:pair:lander"].ends) == (main, lander)
    assert (found["stack:pair"].days, found["stack:pair:lander"].days) == (20, 35)
    assert found["turnaround:pair"].resource == "north"
    assert found["turnaround:pair:lander"].resource == "south"
    assert found["turnaround:pair:lander"].begins == lander
    assert (found["ahead:pair:lander"].begins, found["ahead:pair:lander"].ends) == (lander, main)
    for name in scenario.ships["lander"].stack:
        assert found[f"ship:pair:{name}"].ends == lander - timedelta(days=35)
    for name in scenario.stack:
        assert found[f"ship:pair:{name}"].ends == main - timedelta(days=20)
    [event] = [x for x in calendar.events if x.ship == "lander"]
    assert (event.name, event.when.date()) == ("lander: lift-off", lander)
    builds = [x for x in calendar.tasks if x.kind == "build" and x.mission == "pair"]
    assert len(builds) >= len(scenario.stack) + len(scenario.ships["lander"].stack) - 1
    assert {x.element for x in builds} == {"stage"}


def test_team_and_both_pads_are_held_once(written, text):
    calendar = plan_programme(load_programme(written(text)), remedies=False)
    kinds = ("stack", "turnaround", "ahead", "flight", "test flight", "recovery", "rehearse")
    held = {}
    for task in calendar.tasks:
        if task.kind in kinds:
            held.setdefault(task.resource, []).append(task)
    assert {"north", "south", "day"} == held.keys()
    for name, used in held.items():
        # A turnaround begins with the lift-off that ends what was on the pad.
        used.sort(key=lambda task: (task.begins, task.ends))
        assert all(a.ends <= b.begins for a, b in pairwise(used)), name


def test_a_pad_for_two_ships_needs_the_time(written, text):
    file = written(text, ('pad = "south", stacking', "stacking"))
    told = r"missions\.pair\.pad: two of its ships leave pad north \d+ d apart, which takes 50 d"
    with pytest.raises(ScenarioError, match=told):
        load_programme(file)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("ships.lander", "ships.landre", r"ships\.landre: no ship that its scenario launches on"),
        ('"south", stacking', '"sout", stacking', r"ships\.lander\.pad: no pad is called \"sout\""),
        ("built_as = {", 'built_as = {nothing = "stage", ', r"built_as\.nothing: no element is"),
    ],
)
def test_one_message_on_a_name_that_is_not_there(written, text, old, new, told):
    with pytest.raises(ScenarioError, match=r"programme\.toml:\d+: missions\.pair\." + told):
        load_programme(written(text, (old, new)))


def test_a_ship_that_waits_for_its_pad_is_given_a_second_one(written, text):
    """The trial keeps the lander's pad for 400 d: another like it lets the pair go earlier."""
    trial = ('pad = "north"\ncontrol_team', 'pad = "south"\ncontrol_team')
    held = ('turnaround = "25 d"', 'turnaround = "400 d"')
    calendar = plan_programme(load_programme(written(text, trial, held)))
    [clash] = [x for x in calendar.clashes if "waits" in x.text and x.text.startswith("Pair")]
    assert "the turnaround of pad south after Trial" in clash.text
    assert "turnaround:trial" in clash.tasks
    [second] = [x for x in clash.remedies if x.change == "a second pad like south"]
    assert second.closes
    assert " d earlier; " in second.outcome
