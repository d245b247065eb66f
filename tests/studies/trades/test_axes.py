"""What a study file may state: ranges, lists, engines, elements; every fault with file and line."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from mplan.scenario import ScenarioError
from mplan.studies.trades import load_study
from mplan.studies.trades.schema import FILE, text
from mplan.studies.trades.values import Refused, listed, ranged

MISSIONS = Path(__file__).parents[2] / "missions"
HEAD = f"""format = "mplan-study/1"
name = "Low and Slow"
scenario = "{(MISSIONS / "low_orbit.toml").as_posix()}"
"""
HEIGHT = """[[axes]]
key = "orbits.lunar_altitude"
from = "90 km"
to = "110 km"
step = "10 km"
"""


@pytest.fixture
def written(tmp_path):
    def write(text, head=HEAD):
        file = tmp_path / "study.toml"
        file.write_text(head + text, "utf-8")
        return file

    return write


@pytest.mark.parametrize(
    ("asked", "unit", "given"),
    [
        (("90 km", "110 km", "10 km", None), "km", ["90 km", "100 km", "110 km"]),
        (("0.1 km", "0.3 km", "100 m", None), "km", ["0.1 km", "0.2 km", "0.3 km"]),
        (("3 t", "1 t", "-1 t", None), "t", ["3 t", "2 t", "1 t"]),
        (("1 t", "2 t", None, 3), "t", ["1 t", "1.5 t", "2 t"]),
        (("1 t", "2 t", "0.7 t", None), "t", ["1 t", "1.7 t"]),
        ((1, 5, 2, None), "", [1, 3, 5]),
        ((0.1, 0.3, 0.1, None), "", [0.1, 0.2, 0.3]),
        ((1, 2, None, 3), "", [1.0, 1.5, 2.0]),
        ((date(2031, 5, 30), date(2031, 6, 2), "1 d", None), "", None),
    ],
)
def test_a_range(asked, unit, given):
    """Both ends belong to it, in the unit of the first; days are days."""
    found, values = ranged(*asked)
    assert found == unit
    if given is None:
        given = [date(2031, 5, 30), date(2031, 5, 31), date(2031, 6, 1), date(2031, 6, 2)]
    assert [x.given for x in values] == given


@pytest.mark.parametrize(
    ("asked", "key", "text"),
    [
        (("90 km", "110 km", "0 km", None), "step", "found zero"),
        (("90 km", "110 km", "-5 km", None), "step", "found -5, away .* step above zero"),
        (("90 km", "80 km", "5 km", None), "step", "accepted: a step below zero"),
        (("90 km", "110 km", None, None), "step", "is missing"),
        (("90 km", "110 km", "5 kg", None), "step", "of another dimension"),
        (("90 km", "2 h", "5 km", None), "to", "of another dimension"),
        (("90 km", 100, "5 km", None), "to", "without a unit"),
        (("90 km", "110 km", "1 um", None), "step", "values; accepted: from 1 to 100,000"),
        (("90 km", "110 km", None, 0), "count", "0 values"),
        (("up", "down", 1, None), "from", "accepted: a number"),
        ((date(2031, 5, 1), 5, "1 d", None), "to", "accepted: a day"),
        ((date(2031, 5, 1), date(2031, 5, 9), "5 h", None), "step", "accepted: whole days"),
    ],
)
def test_what_is_no_range(asked, key, text):
    with pytest.raises(Refused, match=text) as refused:
        ranged(*asked)
    assert refused.value.key == key


def test_listed_values_share_a_unit():
    unit, found = listed(("90 km", "120000 m"))
    assert unit == "km"
    assert [(x.shown, x.given) for x in found] == [(90.0, "90 km"), (120.0, "120000 m")]
    with pytest.raises(Refused, match='found "5 kg", of another dimension'):
        listed(("90 km", "5 kg"))


def test_a_grid_has_all_combinations(written):
    more = '[[axes]]\nkey = "dates.translunar_time"\nvalues = ["80 h", "90 h"]\n'
    study = load_study(written(HEIGHT + more))
    cases = list(study.cases())
    assert study.count == len(cases) == 6
    assert [x.number for x in cases] == [1, 2, 3, 4, 5, 6]
    assert cases[1].changes == {
        "orbits.lunar_altitude": "90 km",
        "dates.translunar_time": "90 h",
    }
    assert study.words(cases[0]) == (
        "case 1 (orbits.lunar_altitude 90.0 km, dates.translunar_time 80.0 h)"
    )


def test_a_sweep_has_each_axis_alone(written):
    more = '[[axes]]\nkey = "dates.translunar_time"\nvalues = ["80 h", "90 h"]\n'
    study = load_study(written(HEIGHT + more, HEAD + 'kind = "sweep"\n'))
    cases = [x.changes for x in study.cases()]
    assert study.count == len(cases) == 5
    assert cases[0] == {"orbits.lunar_altitude": "90 km"}
    assert cases[4] == {"dates.translunar_time": "90 h"}


def test_a_list_leaves_blank_what_is_as_planned(written):
    cases = """[[cases]]
with = { "orbits.lunar_altitude" = "90 km" }
[[cases]]
with = { "orbits.lunar_altitude" = "95 km", "dates.translunar_time" = "90 h" }
"""
    study = load_study(written(cases, HEAD + 'kind = "list"\n'))
    shown = [tuple(x.shown for x in case.settings) for case in study.cases()]
    assert shown == [(90.0, None), (95.0, 90.0)]
    assert study.count == 2


def test_a_list_names_elements_and_engines_too(written):
    """A case may have several things otherwise; what only others state is blank in it."""
    file = (MISSIONS / "elements" / "transfer_stage.toml").as_posix()
    cases = f"""[[cases]]
with = {{ "orbits.lunar_altitude" = "90 km" }}
engines = [{{ engine_of = "service_module", catalogue = "storable_30", count = 2 }}]
[[cases]]
elements = {{ transfer_stage = "{file}" }}
[[cases]]
engines = [{{ engine_of = "service_module", catalogue = "storable_30", count = 3 }}]
"""
    head = HEAD.replace("low_orbit", "orbit_and_return")
    study = load_study(written(cases, head + 'kind = "list"\n'))
    assert [axis.name for axis in study.axes] == [
        "orbits.lunar_altitude",
        "transfer stage",
        "engine of service module",
    ]
    first, second, third = study.cases()
    assert [x.shown for x in second.settings] == [None, "transfer_stage", None]
    assert first.changes == {"orbits.lunar_altitude": "90 km"}
    assert [(x.mount.element, x.number) for x in (*first.swaps, *third.swaps)] == [
        ("service_module", 2),
        ("service_module", 3),
    ]
    assert second.changes.keys() == {"elements.transfer_stage"}
    assert len({study.identity(case) for case in (first, second, third)}) == 3


ENGINE = 'engines = [{ engine_of = "gaff", catalogue = "storable_30", count = 2 }]\n'


@pytest.mark.parametrize(
    ("body", "line", "text"),
    [
        ("[[cases]]\n", 5, "cases.0: nothing differs from the scenario; accepted: `with`, "),
        ("[[cases]]\n" + ENGINE.replace("gaff", "gaf"), 6, 'main engine; .*"gaff"'),
        ("[[cases]]\n" + ENGINE.replace("orable", "orble"), 6, 'catalogue: .* "storable_30"'),
        ("[[cases]]\n" + ENGINE.replace("2", "0"), 6, "cases.0.engines.0.count: "),
        (
            "[[cases]]\n" + ENGINE.replace(", count = 2", ""),
            6,
            "cases.0.engines.0.count: .*missing",
        ),
        ("[[cases]]\n" + ENGINE.replace(" }", " }, { ENGINE }"), 5, ""),
        ('[[cases]]\nelements = { gaf = "x.toml" }\n', 6, 'cases.0.elements.gaf: .*"gaff"'),
        ('[[cases]]\nelements = { gaff = "x.toml" }\n', 6, r'elements.gaff.from: .*"x.toml"'),
    ],
)
def test_faults_of_listed_cases_are_told_by_line(written, body, line, text):
    twice = ENGINE[len("engines = [{") : -len("}]\n")].strip()
    body = body.replace("ENGINE", twice)
    text = text or "cases.0: engine of gaff is stated twice"
    with pytest.raises(ScenarioError, match=text) as refused:
        load_study(written(body, HEAD + 'kind = "list"\n'))
    assert f"study.toml:{line}: " in str(refused.value)


def test_engines_of_the_catalogue(written):
    """By name or file, at the counts that give a like thrust; without names, all that fit."""
    study = load_study(written('[[axes]]\nengine_of = "gaff"\nengines = ["storable_30"]\n'))
    (axis,) = study.axes
    assert axis.name == "engine of gaff"
    assert [x.swap.number for x in axis.settings]
    every = load_study(written('[[axes]]\nengine_of = "gaff"\ncounts = [2]\n')).axes[0].settings
    assert every[0].shown is None, "as planned first"
    assert len(every) > 2
    assert {x.swap.number for x in every[1:]} == {2}


def test_what_is_there_stands_once_among_all_engines(written):
    """As planned, and not as its own name again."""
    head = HEAD.replace("low_orbit", "reference_landing")
    asked = '[[axes]]\nengine_of = "ascent_stage"\n'
    study = load_study(written(asked, head))
    now = study.scenario.elements["ascent_stage"].engines["main"]
    shown = [x.shown for x in study.axes[0].settings]
    assert shown[0] is None
    assert f"{now.count} x {now.label}" not in shown
    named = load_study(written(f'{asked}engines = ["{now.label}"]\n', head)).axes[0].settings
    assert f"{now.count} x {now.label}" in [x.shown for x in named]


def test_an_element_from_files(written):
    """With the engines that its file takes in."""
    file = (MISSIONS / "elements" / "transfer_stage.toml").as_posix()
    asked = f'[[axes]]\nelement = "transfer_stage"\nfiles = ["{file}"]\n'
    study = load_study(written(asked, HEAD.replace("low_orbit", "orbit_and_return")))
    (setting,) = study.axes[0].settings
    assert setting.shown == "transfer_stage"
    after = study.scenario.change(setting.changes)
    assert after.elements["transfer_stage"].engines == (
        study.scenario.elements["transfer_stage"].engines
    )


@pytest.mark.parametrize(
    ("body", "line", "text"),
    [
        ("", 1, r"no cases: the study states no \[\[axes\]\]"),
        (HEIGHT.replace("altitude", "altitud"), 5, 'orbits.lunar_altitud.*"lunar_altitude"'),
        (HEIGHT.replace('"10 km"', '"0 km"'), 8, "axes.0.step: found zero"),
        (
            HEIGHT.replace('step = "10 km"', 'step = "1 um"'),
            8,
            "axes.0.step: 20,000,000,001 values",
        ),
        ('[[axes]]\nkey = "orbits.lunar_altitude"\n', 4, "axes.0: no range"),
        (HEIGHT + 'values = ["90 km"]\n', 4, "axes.0: no range; accepted: `values`, or"),
        ("[[axes]]\nvalues = [1]\n", 4, "found none of them; accepted: one of key"),
        ('[[axes]]\nkey = "stack"\nelement = "gaff"\n', 4, "found key and element"),
        ('[[axes]]\nengine_of = "gaf"\n', 5, 'no element with a main engine; .*"gaff"'),
        ('[[axes]]\nengine_of = "gaff"\nengines = ["storble_30"]\n', 6, 'mean "storable_30"'),
        ('[[axes]]\nengine_of = "gaff"\nengines = ["kerosene_9"]\n', 6, "does not fit gaff"),
        ('[[axes]]\nelement = "gaf"\nfiles = ["x.toml"]\n', 5, 'did you mean "gaff"'),
        ('[[axes]]\nelement = "gaff"\nfiles = ["x.toml"]\n', 6, r'"x.toml"'),
        (HEIGHT + HEIGHT, 9, "orbits.lunar_altitude is varied by two axes"),
        (HEIGHT + '[[objectives]]\nfigure = "x"\nbest = "good"\n', 11, "objectives.0.best"),
        (HEIGHT + "[[cases]]\nwith = { x = 1 }\n", 9, 'accepted: kind = "list"'),
        (HEIGHT + "how = 1\n", 9, "axes.0.how"),
    ],
)
def test_faults_are_told_by_line(written, body, line, text):
    with pytest.raises(ScenarioError, match=text) as refused:
        load_study(written(body))
    assert f"study.toml:{line}: " in str(refused.value)


def test_a_billion_cases_are_refused_with_their_count(written):
    fine = HEIGHT.replace('"10 km"', '"20 m"')
    days = fine.replace("orbits.lunar_altitude", "orbits.parking_altitude").replace('"90', '"150')
    days = days.replace('"110 km"', '"170 km"')
    with pytest.raises(ScenarioError, match="1,002,001 cases, 1,001 times 1,001; accepted: from 1"):
        load_study(written(fine + days))


def test_an_unknown_scenario_is_refused(written):
    head = HEAD.replace("low_orbit", "slow_orbit")
    with pytest.raises(
        ScenarioError, match=r"study.toml:3: scenario: .* no such file, nor a mission"
    ):
        load_study(written(HEIGHT, head))


def test_the_schema_is_that_of_the_model():
    assert FILE.read_text("utf-8") == text()
