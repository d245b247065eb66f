"""Sensitivities in tables, a tornado chart, on a terminal and as JSON; nothing is flown here."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace

import jsonschema
import pytest

from mplan import cli
from mplan.checks.limits import Left
from mplan.commands import exit_codes
from mplan.show import sensitivities
from mplan.show.sensitivities.document import schema
from mplan.show.terminal import print_sensitivities
from mplan.studies import executors
from mplan.studies.sensitivities import differences
from mplan.studies.sensitivities.differences import Sensitivities, Sensitivity
from mplan.studies.sensitivities.effects import BOTH, Effect
from mplan.studies.sensitivities.exchange import Ratio
from mplan.studies.sensitivities.jumps import Jump
from mplan.studies.sensitivities.variations import Variation
from tests.conftest import MISSIONS

BURN = "trans-Earth injection"
DOOR, FOOD = "launch site, door", "supply, packed food in the hut"


def one(kind, unit, effect, trouble=""):
    what = Variation(kind, "service module", unit, 1.0, ("service_module",))
    if trouble:
        return Sensitivity(what, {}, None, "", trouble)
    felt = {DOOR: Effect(-1.0, 0.0, -1.0, 1.0), FOOD: Effect(0.0, 0.0, 0.0, 0.0)}
    jump = (Jump(1.31, 1.34, BURN, -151.2, "1 more: engine shut down, core stage"),)
    rooms, near = (felt if unit == "s" else {}), (jump if kind == "thrust" else ())
    return Sensitivity(what, {BURN: effect}, 1.03, BOTH, rooms=rooms, jumps=near)


@pytest.fixture(scope="module")
def found():
    rows = (
        one("dry mass", "kg", Effect(-0.1376, 2e-5, -0.1375, 0.1377)),
        one("specific impulse", "s", Effect(9.1, 2e-4, 9.0, -9.2)),
        one("thrust", "%", Effect(1e-4, 2e-4, 1e-4, -1e-4)),
        one("duration", "h", Effect(30.0, 36.0, 7.0, -7.9)),
        one("length", "m", None, "cannot be made 0.05 m longer"),
    )
    door, food = (DOOR, 2.24, "m", 45.0, "pad"), (FOOD, 0.97, "kg", 9.0, "supplies")
    limits = {DOOR: Left(*door), FOOD: Left(*food)}
    told = {"limits": limits, "in_brief": (DOOR, FOOD)}
    return Sensitivities("A mission", {BURN: 133.3}, (BURN,), BURN, rows, **told)


RATIOS = [
    Ratio("crew_module", 93.6, {BURN: 0.95}, 3e-6, 0.0025),
    Ratio("escape_tower", None, {}, 0.0, 0.0, "no propellant keeps all margins"),
]


def test_table(found):
    """What is lost is blank, not zero; what was not flown says why."""
    frame = sensitivities.margins(found).frame.set_index("one more")
    slopes = frame[f"{BURN} [m/s a unit]"]
    assert slopes["dry mass, service module [kg]"] == -0.1376
    assert slopes.isna()["thrust, service module [%]"]
    assert frame["difference"]["length, service module [m]"].startswith("not flown: cannot be")


def test_most_felt_first(found):
    frame = sensitivities.felt(found).frame
    assert list(frame["one more"]) == [
        "specific impulse, service module [s]",
        "dry mass, service module [kg]",
    ]


def test_what_shows_as_zero_is_no_row(found):
    """Told though it is, by twice its spread: 0.007 mm/s a kilogram decide nothing."""
    trifle = one("mixture", "%", Effect(6.8e-06, 2e-6, 6.8e-06, -6.8e-06))
    more = replace(found, found=(*found.found, trifle))
    assert len(sensitivities.felt(more).frame) == len(sensitivities.felt(found).frame)
    assert "mixture" not in str(sensitivities.tornado(more).data)
    slopes = sensitivities.margins(more).frame.set_index("one more")[f"{BURN} [m/s a unit]"]
    assert slopes["mixture, service module [%]"] == 0.0  # told, as all that was flown


def test_tornado(found):
    """Both sides of each bar, to a digit that shows a kilogram, with the figure in words beside."""
    picture = sensitivities.tornado(found)
    more, less, words = picture.data
    assert list(more.x) == [9.0, -0.1375]
    assert list(less.x) == [-9.2, 0.1377]
    assert "-0.1376 ± 2e-05 m/s" in words.text[1]
    assert less.marker.pattern.shape == "/"  # told apart without colour
    assert "specific impulse, service module [s] +9.1" in picture.summary
    assert picture.png().startswith(b"\x89PNG")


def test_limits_have_a_table_of_their_own(found):
    """Each in its unit; one that nothing is felt in has no column unless it is asked for."""
    frame = sensitivities.rooms(found).frame.set_index("one more")
    assert frame[f"{DOOR} [m a unit]"]["specific impulse, service module [s]"] == -1.0
    assert not [x for x in frame.columns if x.startswith(FOOD)]
    asked = sensitivities.rooms(found, [FOOD]).frame.set_index("one more")
    assert asked[f"{FOOD} [kg a unit]"]["specific impulse, service module [s]"] == 0.0


def test_tornado_of_a_limit(found):
    picture = sensitivities.tornado(found, DOOR)
    assert picture.layout.xaxis.title.text.endswith("left of launch site, door [m], by one unit")
    assert picture.summary.startswith("What is left of launch site, door is 2.24 m;")


def test_jumps(found):
    frame = sensitivities.jumps(found).frame
    (row,) = frame.to_dict("records")
    assert (row["change"], row["jump [m/s]"]) == ("thrust, service module [%]", -151.2)
    assert (row["not yet with [units]"], row["with [units]"]) == (1.31, 1.34)


def test_tornado_of_no_such_burn(found):
    with pytest.raises(ValueError, match="no margin after 'climb'; there are: trans-Earth"):
        sensitivities.tornado(found, "climb")


def test_exchange():
    frame = sensitivities.exchange(RATIOS).frame
    assert list(frame["a kilogram of"]) == ["crew module", "escape tower"]
    assert frame["lift-off [kg/kg]"].isna().tolist() == [False, True]
    assert frame["not flown because"][1] == "no propellant keeps all margins"


def test_who_pays_nothing_has_no_column():
    paid = Ratio("hut", 12.0, {BURN: 0.95, "lunar ascent": 0.004}, 3e-6, 0.0025)
    names = sensitivities.exchange([paid]).frame.columns
    assert [x for x in names if x.startswith("propellant for")] == [
        f"propellant for {BURN} [kg/kg]"
    ]


def test_on_a_terminal(found):
    out = io.StringIO()
    print_sensitivities(found, [BURN], RATIOS, out)
    lines = out.getvalue().splitlines()
    assert max(map(len, lines)) <= 100
    assert f"Margin after {BURN}, 133 m/s, in A mission" in lines
    assert "length, service module [m]: not flown: cannot be made 0.05 m longer" in lines
    assert "duration, service module [h]: no one slope, spread 36 m/s" in lines
    (line,) = [x for x in lines if x.startswith("thrust")]  # not felt beyond what solvers leave
    assert line.startswith("thrust, service module [%], between +1.31 and +1.34 %: -151 m/s after")
    assert "What is left of limits, in A mission" in lines
    assert next(x.split() for x in lines if x.startswith(DOOR))[3:5] == ["2.24", "m"]
    assert f"Nothing is felt in: {FOOD}." in lines
    assert "escape tower: not flown: no propellant keeps all margins" in lines
    assert "A planning study, not flight approval." in lines


def test_as_json(found, reference_landing):
    told = json.loads(json.dumps(sensitivities.document(reference_landing, found, RATIOS)))
    assert told["format"] == "mplan-sensitivities/2"
    assert told["cautions"]
    by_kind = {each["kind"]: each for each in told["sensitivities"]}
    assert by_kind["thrust"]["margins"][0]["m_s_per_unit"] is None
    assert by_kind["thrust"]["margins"][0]["spread_m_s_per_unit"] == 2e-4
    assert by_kind["length"]["not_flown"] == "cannot be made 0.05 m longer"
    assert told["exchange_ratios"][1]["lift_off_kg_per_kg"] is None
    assert by_kind["thrust"]["jumps"][0]["by_units"] == 1.34
    assert by_kind["specific impulse"]["limits"][0] == {
        "limit": DOOR,
        "per_unit": -1.0,
        "spread_per_unit": 0.0,
        "one_unit_more": -1.0,
        "one_unit_less": 1.0,
    }


def test_the_document_obeys_its_schema(found, reference_landing):
    made = json.loads(json.dumps(sensitivities.document(reference_landing, found, RATIOS)))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(made, schema())
    for field in made:
        with pytest.raises(jsonschema.ValidationError, match=f"'{field}' is a required property"):
            jsonschema.validate({k: v for k, v in made.items() if k != field}, schema())
    with pytest.raises(jsonschema.ValidationError, match="'colour' was unexpected"):
        jsonschema.validate({**made, "colour": 1}, schema())


class CutOff:
    """An executor that Ctrl-C ends after two answers."""

    def answers(self, ask, questions, stopped=lambda: False):
        for index, question in enumerate(questions):
            if index == 2:
                raise KeyboardInterrupt
            yield index, ask(*question)


def test_ctrl_c_prints_what_was_flown(monkeypatch, capsys):
    """What was flown is there, and says of how many; so are the ratios, which are not begun."""
    monkeypatch.setattr(executors, "chosen", lambda *asked: CutOff())
    asked = ["sensitivities", str(MISSIONS / "orbit_and_return.toml"), "--exchange"]
    assert cli.main(asked) == exit_codes.STOPPED
    said = capsys.readouterr().out
    counts = re.search(
        r"Stopped: 2 of (\d+) changes were flown, and 0 of (\d+) exchange ratios\.", said
    )
    assert counts
    assert "of limits" in said
    assert "Nothing that was flown until then is felt in: " in said
    assert cli.main([*asked, "--json", "-"]) == exit_codes.STOPPED
    told = json.loads(capsys.readouterr().out)
    jsonschema.validate(told, schema())
    assert told["stopped"]
    assert len(told["sensitivities"]) == 2
    assert list(told["asked"].values()) == [int(x) for x in counts.groups()]


def test_ctrl_c_before_anything_was_flown(monkeypatch, capsys):
    """There is nothing to print."""
    monkeypatch.setattr(differences, "_flown", interrupted)
    asked = ["sensitivities", str(MISSIONS / "orbit_and_return.toml")]
    assert cli.main(asked) == exit_codes.STOPPED
    assert capsys.readouterr().out == ""


def interrupted(*asked):
    raise KeyboardInterrupt


def test_stopped_among_exchange_ratios(found, reference_landing):
    """All changes were flown, not all ratios: the document says so, and so does the terminal."""
    out = io.StringIO()
    print_sensitivities(replace(found, asked=5), [BURN], RATIOS, out, elements=7)
    assert "Stopped: 5 of 5 changes were flown, and 2 of 7 exchange ratios." in out.getvalue()
    assert f"Nothing is felt in: {FOOD}." in out.getvalue()
    assert sensitivities.document(reference_landing, found, RATIOS, 7)["stopped"]
    assert not sensitivities.document(reference_landing, found, RATIOS, 2)["stopped"]


def test_a_limit_that_is_not_there(capsys):
    asked = ["sensitivities", str(MISSIONS / "orbit_and_return.toml"), "--limit", "patience"]
    assert cli.main(asked) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "--limit: found patience; accepted: " in said.err


def test_a_burn_that_is_not_there(capsys):
    asked = ["sensitivities", str(MISSIONS / "orbit_and_return.toml"), "--burn", "descent"]
    assert cli.main(asked) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "--burn: found descent; accepted: " in said.err
