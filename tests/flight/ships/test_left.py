"""A ship that an earlier mission left in lunar orbit is taken up as that mission leaves it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import mplan
from mplan.checks import counters
from mplan.checks.counters import joints
from mplan.checks.docked import earlier
from mplan.checks.finding import Finding
from mplan.checks.remedies import of_ships
from mplan.checks.remedies.trials import Trials
from mplan.flight import walk
from mplan.flight.ships import left
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.scenario import ScenarioError
from mplan.scenario.figures import Figures
from mplan.show import other_ships
from mplan.show.mission import event_ladder

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
LEFT = ("braking_stage", "descent_stage", "ascent_stage")


@pytest.fixture(scope="module")
def taken():
    """Flown: the earlier mission, then the one whose crew meet what it left."""
    return walk.fly(mplan.load(SCENARIOS / "lander_taken_up.toml"))


def test_it_is_as_it_was_left(taken):
    """Propellant to the gram, starts and burn times; nothing else of that mission comes along."""
    end, start = taken.left["lander"].end, taken.waits["lander"].start
    assert start.craft == (LEFT,)
    assert start.t == end.t
    for name in ("levels", "starts", "seconds", "boiled", "unusable"):
        theirs, ours = getattr(end.ledger, name), getattr(start.ledger, name)
        assert dict(ours) == {key: x for key, x in theirs.items() if key[0] in LEFT}, name
    assert start.ledger.starts["braking_stage", "main"] == 2
    assert start.mass(LEFT) == pytest.approx(end.mass(end.joined("ascent_stage")), abs=1e-3)


def test_it_is_joined_as_it_has_waited(taken):
    """At the docking its tanks hold what the wait has left in them, but for the hour it takes."""
    docked = next(x for x in taken.passages if x.event.do == "dock")
    wait, ledger = taken.waits["lander"], docked.after.ledger
    lost = (
        wait.end.ledger.levels["descent_stage", "oxygen"] - ledger.levels["descent_stage", "oxygen"]
    )
    assert 0.0 < lost < 1.0  # kg: an hour's boiling off at 15 W is 0.25
    boiled = (
        ledger.boiled["descent_stage", "oxygen"]
        - wait.start.ledger.boiled["descent_stage", "oxygen"]
    )
    days = (docked.after.t - wait.start.t) / c.DAY
    assert boiled == pytest.approx(15.0 * days * c.DAY / 213e3, rel=0.05)  # W over J/kg of oxygen
    assert ledger.starts["braking_stage", "thrusters"] == 10  # two to settle, four times two
    lit = {key: x for key, x in ledger.starts.items() if key[0] == "core_stage"}
    assert list(lit.values()) == [1]  # this mission's own, not the earlier one's


def test_it_is_in_order_of_time(taken):
    """It was left weeks before the crew lift off; the wait stands on their clock, the rest not."""
    wait = taken.waits["lander"]
    assert 20.0 < (taken.end.lift_off - wait.start.t) / c.DAY < 30.0
    lines = [x for x in taken.every_moment if x.event.startswith("lander: ")]
    assert {x.event for x in lines} == {"lander: orbit upkeep", "lander: waits until it is met"}
    assert [x.elapsed for x in taken.every_moment] == sorted(x.elapsed for x in taken.every_moment)
    said = other_ships.lines(mplan.Plan(taken, ()))
    assert said[0].startswith("ship lander: left in lunar orbit by Lander Ahead (lander_ahead.t")
    assert "orbit restored 4 times" in said[1]
    (bar,) = event_ladder.others(mplan.Plan(taken, ()))["lander"]
    assert bar.name == "waits"
    assert bar.begin == pytest.approx((wait.start.t - taken.end.lift_off) / c.DAY)
    docked = next(x for x in taken.passages if x.event.do == "dock")
    assert docked.before.elapsed / c.DAY == pytest.approx(bar.end, abs=0.01)


def test_a_crew_that_comes_before_it_is_left(taken):
    """Refused, with when it is there."""
    early = taken.scenario.change("dates.launch_day", "2032-05-11")
    with pytest.raises(Unflyable, match="accepted: a mission that leaves it by") as caught:
        walk.fly_like(early, taken)
    assert caught.value.path == ("ships", "lander", "left_by")


def test_it_is_flown_once(taken):
    """A change of this mission leaves the flight of the earlier one; one of what is left is not."""
    other = walk.fly_like(taken.scenario.change("mission.payload_down", "45 kg"), taken)
    assert other.left["lander"] is taken.left["lander"]
    with pytest.raises(ScenarioError, match=r"as lander_ahead\.toml has it: change it there"):
        taken.scenario.change("elements.ascent_stage.dry_mass", "2 t")


@pytest.mark.parametrize(
    ("stack", "text"),
    [
        (LEFT[1:], "accepted: what is joined at the end of lander_ahead.toml, braking stage, desc"),
        (("upper_stage",), "has jettisoned upper stage"),
    ],
)
def test_what_is_not_left_so(taken, stack, text):
    """Another craft than the one that is left is told with what there is."""
    with pytest.raises(Unflyable, match=text) as caught:
        left.state_of(taken.left["lander"], "lander", stack)
    assert caught.value.path == ("ships", "lander", "stack")


def written(folder: Path, name: str, *lines: str, instead: str = "") -> Path:
    """A file that takes a ship up, based on the demo, with `lines` about that ship."""
    text = (SCENARIOS / "lander_taken_up.toml").read_text("utf-8")
    place = text.index("left_by")
    end = text.index("\n", place)
    text = text[:place] + "\n".join([instead or text[place:end], *lines]) + text[end:]
    (folder / name).write_text(text, "utf-8")
    return folder / name


@pytest.mark.parametrize(
    ("instead", "lines", "text"),
    [
        ('left_by = "nowhere.toml"', (), r"found .nowhere\.toml.: no such file"),
        ('left_by = "mine.toml"', (), "which leads back to itself; accepted: an earlier mission"),
        ("left_by = 3", (), r"ships\.lander\.left_by: found 3"),
        ("", ('dates.launch_day = "2032-05-01"',), "dates: leave it out: it is as the mission of"),
        ("", ("[elements.ascent_stage]",), r"leave it out: it is as lander_ahead\.toml has it"),
    ],
)
def test_what_a_file_states_wrong(tmp_path, instead, lines, text):
    """One message with its key and the line of the file."""
    stack = 'stack = ["braking_stage", "descent_stage", "ascent_stage"]'
    file = written(tmp_path, "mine.toml", *lines, instead=instead)
    if lines and lines[0].startswith("["):  # a table of its own, behind the ship's
        body = file.read_text("utf-8").replace(lines[0] + "\n" + stack, stack)
        file.write_text(body + f'{lines[0]}\ndry_mass = "2 t"\n', "utf-8")
    with pytest.raises(ScenarioError, match=text) as caught:
        mplan.load(file)
    assert "mine.toml:" in str(caught.value)


def test_neither_launched_nor_left():
    """A ship has a mission of its own or was left by another one."""
    follows = mplan.load(SCENARIOS / "crew_follows.toml")
    with pytest.raises(ScenarioError, match="or left_by in place of it"):
        follows.change("ships.lander.mission", None)


def test_two_files_that_lead_to_each_other(tmp_path):
    """A loop is told whichever file it begins with."""
    written(tmp_path, "one.toml", instead='left_by = "two.toml"')
    written(tmp_path, "two.toml", instead='left_by = "one.toml"')
    with pytest.raises(ScenarioError, match="which leads back to itself"):
        mplan.load(tmp_path / "one.toml")


def test_what_a_crew_left(reference_landing, landing_plan):
    """An ascent stage that is undocked instead of jettisoned stays as it was in lunar orbit."""
    events = reference_landing.events_as_written()
    place = next(i for i, x in enumerate(events) if x.get("elements") == ["ascent_stage"])
    events[place] = {"do": "undock", "elements": ["ascent_stage"], "duration": "10 min"}
    flown = walk.fly_like(reference_landing.change("events", events), landing_plan.flight)
    state = left.state_of(flown, "ferry", ["ascent_stage"])
    away = next(x for x in flown.passages if x.event.do == "undock" and place == index(flown, x))
    assert state.craft == (("ascent_stage",),)
    assert sum(state.crew.values()) == 0
    engine = next(iter(reference_landing.elements["ascent_stage"].engines))
    key = ("ascent_stage", engine)
    assert state.ledger.starts[key] == away.after.ledger.starts[key] >= 1
    for tank in reference_landing.elements["ascent_stage"].tanks:
        there = away.after.ledger.levels["ascent_stage", tank]
        assert state.ledger.levels["ascent_stage", tank] == pytest.approx(there, abs=50.0)
    assert state.t >= away.after.t
    gone = left.state_of
    with pytest.raises(Unflyable, match="does not leave crew module in lunar orbit"):
        gone(flown, "ferry", ["crew_module"])


def index(flight, passage) -> int:
    return next(i for i, x in enumerate(flight.passages) if x is passage)


def test_an_earlier_mission_that_does_not_close(taken):
    """What stops it stops the one that relies on it; nothing is said where nothing does."""
    mission = taken.left["lander"]
    stop = Finding("stops the flight", "pad", "", "it is too tall", Figures("", ""), "")
    (told,) = earlier.findings("lander", mission, [stop])
    assert told.text == "Lander Ahead, which leaves the lander, does not close: it is too tall"
    assert list(earlier.findings("lander", mission, [])) == []


def test_counters_run_on(taken):
    """The starts of the earlier mission are on the sheet, numbered on as the ledger has them."""
    sheet, ledger = counters.of(taken), taken.end.ledger
    lit = [x for x in sheet.starts if x.key == ("braking_stage", "thrusters")]
    numbers = [n for x in lit for n in range(x.first, x.last + 1)]
    assert numbers == list(range(1, ledger.starts["braking_stage", "thrusters"] + 1))
    assert {x.ship for x in lit} == {"lander"}
    assert lit[0].what.endswith(f", in {taken.left['lander'].scenario.mission.name}")
    assert lit[0].elapsed < lit[1].elapsed < 0.0
    (tanks,) = (x for x in sheet.thruster_tanks if x.element == "braking_stage")
    assert tanks.settling > 0.0
    assert tanks.other == pytest.approx(0.0, abs=1e-6)


def test_dockings_run_on_over_missions(taken, landing_plan):
    """A port's dockings two missions ago count, though it has docked in none between."""
    first = landing_plan.flight
    done = joints.dockings_of(first, "ascent_stage")
    assert done > 0
    between = replace(taken, passages=(), others={}, left={"lander": first})
    assert joints.dockings_of(between, "ascent_stage") == done
    last = replace(taken, left={"lander": between})
    assert joints.dockings_of(last, "ascent_stage") == done + joints.dockings_of(
        taken, "ascent_stage"
    )


def test_an_earlier_mission_is_not_changed_by_remedies(taken):
    """What a ship that was left is short of has no remedy from here."""
    found = Finding(
        "stops the flight", "power", "", "lander: x", Figures("", ""), "", ship="lander"
    )
    assert of_ships.seen(found, taken, Trials()) is None
