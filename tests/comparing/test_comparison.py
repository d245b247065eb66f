"""Two plans side by side: what is told, printed and written of them."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pytest

import mplan
from mplan import cli, contract
from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison, compare
from mplan.physics.constants import DAY, HOUR
from mplan.plan import Plan
from mplan.scenario import ScenarioError
from mplan.show import mission
from mplan.show.comparing import document, everything, told
from mplan.show.comparing.document import schema
from mplan.show.sensitivities.document import schema as of_sensitivities
from mplan.show.terminal import print_comparison

SCENARIOS = Path(__file__).parents[2] / "scenarios"
LANDING = str(Path(__file__).parents[1] / "missions" / "reference_landing.toml")


@pytest.fixture(scope="module")
def first(first_landing: mplan.Scenario) -> mplan.Plan:
    return mplan.fly(first_landing)


@pytest.fixture(scope="module")
def longer(first: mplan.Plan) -> Comparison:
    """The First Landing, and the same with one more day on the ground."""
    return compare(first, mplan.fly(mplan.load(SCENARIOS / "one_more_day.toml")))


@pytest.fixture(scope="module")
def other_kind(two_launches, first) -> Comparison:
    """A mission of two ships beside one of a single ship."""
    return compare(Plan(two_launches, ()), first)


def printed(comparison: Comparison, **how: bool) -> str:
    out = io.StringIO()
    print_comparison(comparison, out, **how)
    return out.getvalue()


def test_findings_gained_and_lost_by_name(longer):
    """The day more is one too many for the canisters; the other way round that is lost."""
    (gained,) = [x.b for x in longer.findings if x.what == "gained"]
    assert gained.severity == "stops the flight"
    assert "carbon dioxide" in gained.text
    back = compare(longer.b, longer.a)
    assert [x.a.text for x in back.findings if x.what == "lost"] == [gained.text]


def test_a_day_more_comes_home_a_day_later(longer):
    """Nearly a day: the ship is met by its revolutions, and the way home waits for its place."""
    dates = {x.name: x for x in longer.dates}
    assert not dates["lift-off"].differs
    assert not dates["touchdown"].differs
    assert dates["splash"].later == pytest.approx(DAY, abs=2 * HOUR)  # a revolution
    moments = {x.a.event: x for x in longer.moments if x.a and x.b}
    assert moments["jettison descent stage"].later == pytest.approx(DAY, abs=1.0)


def test_figures_are_those_of_the_plans(longer):
    """Differences are of B less A, in the units that are told."""
    figures = {x.name: x for x in longer.figures}
    tight = figures["tightest margin"]
    assert tight.unit == "m/s"
    assert tight.difference == longer.b.tightest.margin - longer.a.tightest.margin
    assert tight.difference < 0.0
    assert not figures["height on the pad"].differs
    assert figures["time from lift-off to the end"].difference == pytest.approx(1.0, abs=0.1)


def test_each_burn_stands_beside_its_like(longer):
    """Names and elements are the same; the ascent, which lifts more, takes more."""
    assert all(x.a.name == x.b.name for x in longer.burns)
    ascent = next(x for x in longer.burns if x.a.leg == "lunar ascent")
    assert ascent.differs
    assert ascent.b.propellant > ascent.a.propellant


def test_limits_that_read_otherwise(longer):
    """Energy is used and stored otherwise though it lasts as long; of control only the share."""
    shown = everything(longer)["Limits"]
    energy = shown[shown["what"] == "ascent stage and below"].iloc[0]
    assert energy["A used"] != energy["B used"]
    control = shown[shown["limit of"] == "control authority"]
    assert (control["A left"] != control["B left"]).all()
    assert len(everything(longer, every=True)["Limits"]) == len(longer.limits) > len(shown)


def test_a_plan_beside_itself(first):
    """Nothing differs, and the words say so; `every` row is told all the same."""
    itself = compare(first, first)
    assert itself.same
    assert itself.keys == ()
    assert told(itself)[-1] == "The two plans are the same."
    assert all(frame.empty for frame in everything(itself).values())
    text = printed(itself)
    assert "The two plans are the same." in text
    assert "Events" not in text
    assert "splashdown" in printed(itself, every=True)


def test_plans_of_other_ships(other_kind):
    """What only one has stands alone; the ship launched on its own is told under its name."""
    assert not other_kind.same
    alone = [x.name for x in other_kind.figures if x.b is None]
    assert "lander: mass on the pad" in alone
    assert any(x.b is None for x in other_kind.moments)
    assert len(other_kind.burns) >= len(other_kind.a.every_burn)
    assert printed(other_kind)


@pytest.mark.parametrize("which", ["longer", "other_kind"])
def test_a_page_of_100_columns_with_the_cautions(which, request):
    text = printed(request.getfixturevalue(which))
    assert max(map(len, text.splitlines())) <= 100
    assert all(x in " ".join(text.split()) for x in CAUTIONS)


@pytest.mark.parametrize("which", ["longer", "other_kind"])
def test_the_document_obeys_its_schema(which, request):
    comparison = request.getfixturevalue(which)
    made = json.loads(json.dumps(document(comparison), allow_nan=False))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(made, schema())
    assert made["cautions"] == list(CAUTIONS)
    assert len(made["events"]) == len(comparison.moments)
    assert made["b"]["verdict"]["closes"] is comparison.b.closes


def test_the_schema_misses_no_field(longer):
    """A document without one of its fields, or with one more, does not pass."""
    made = document(longer)
    for field in made:
        with pytest.raises(jsonschema.ValidationError, match=f"'{field}' is a required property"):
            jsonschema.validate({k: v for k, v in made.items() if k != field}, schema())
    with pytest.raises(jsonschema.ValidationError, match="'colour' was unexpected"):
        jsonschema.validate({**made, "colour": 1}, schema())


def test_the_cell_of_the_workbook(first):
    """Nothing is compared while no file is named; a plan beside its own file is the same."""
    assert "nothing is compared" in repr(mission.compared(first, ""))
    assert "The two plans are the same." in repr(mission.compared(first, first.scenario.source))
    with pytest.raises(ScenarioError, match="no such file"):
        mission.compared(first, "nowhere.toml")


def test_on_the_command_line(capsys):
    """`--with` alone compares a file with itself so changed; that it was compared ends with 0."""
    asked = ["compare", LANDING, "--with", "mission.payload_down=9 t"]
    assert cli.main([*asked, "--json", "-"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["keys"] == [{"key": "mission.payload_down", "a": "250 kg", "b": "9 t"}]
    assert [made[x]["verdict"]["closes"] for x in "ab"] == [True, False]
    (changed,) = made["b"]["scenario"]["changes"]
    assert changed.startswith("mission.payload_down")


def test_what_is_shared_with_a_plan_has_its_shape():
    """Who reads a plan's document reads a comparison's and a study's too: one schema for both."""
    plan, both = contract.schema()["properties"], schema()["$defs"]
    shared = {"limit": "limits", "burn": "burns", "finding": "findings", "event": "timeline"}
    for name, whole in shared.items():
        assert both[name] == plan[whole]["items"], name
    for name in ("scenario", "verdict"):
        assert both["plan"]["properties"][name] == plan[name]
    assert of_sensitivities()["properties"]["scenario"] == plan["scenario"]


def test_burns_limits_and_findings_read_as_in_a_plan(longer):
    """Value by value, of either plan."""
    made = document(longer)
    for side, plan in (("a", longer.a), ("b", longer.b)):
        alone = contract.document(plan)
        for whole in ("limits", "burns", "findings"):
            beside = [x[side] for x in made[whole] if x[side] is not None]
            assert sorted(map(str, beside)) == sorted(map(str, alone[whole]))
        assert made[side] == {x: alone[x] for x in ("scenario", "verdict")}


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([LANDING], "B: not given; accepted: a second scenario, --with KEY=VALUE, or both"),
        ([LANDING, "nowhere.toml"], "nowhere.toml: no such file"),
        ([LANDING, "--with", "mission.crews=2"], "mission.crews"),
    ],
)
def test_bad_input(arguments, message, capsys):
    """One clear message, and 2; nothing is flown for it."""
    assert cli.main(["compare", *arguments]) == 2
    assert message in capsys.readouterr().err
