"""Each kind of problem has one line: file, line, key, what was found, what is accepted."""

import pytest

from mplan.scenario import Problem, ScenarioError, load

MASS = 'a mass with its unit, from 1 g to 20000 t (what can be built), like "11.5 t"'
ALTITUDE = 'a length with its unit, from 150 km to 2000 km, like "185 km"'
DAY = "a day from 1899-12-05 to 2053-09-09 (the ephemeris DE421), like 2031-05-14"
PARKING = 'parking_altitude = "185 km"'
LIFT = "elements.first_stage.engines.lift"
LANDING = '"lunar-orbit-rendezvous landing"'

# what is written, what instead, the whole complaint (after "landing.toml:")
ONE_PROBLEM = {
    "bare number": (
        PARKING,
        "parking_altitude = 185",
        f"50: orbits.parking_altitude: found 185, a bare number; accepted: {ALTITUDE}",
    ),
    "wrong dimension": (
        PARKING,
        'parking_altitude = "185 s"',
        f'50: orbits.parking_altitude: found "185 s", of another dimension; accepted: {ALTITUDE}',
    ),
    "out of bounds": (
        PARKING,
        'parking_altitude = "9 km"',
        f'50: orbits.parking_altitude: found "9 km", too small; accepted: {ALTITUDE}',
    ),
    "missing key": (
        PARKING + "\n",
        "",
        '49: orbits.parking_altitude: missing; write for example: parking_altitude = "185 km"',
    ),
    "misspelt key": (
        'dry_mass = "118 t"',
        'dry_mas = "118 t"',
        '78: elements.first_stage.dry_mas: unknown key; did you mean "dry_mass", which is missing?',
    ),
    "misspelt key that only the profile needs": (
        "surface_stay",
        "surface_sty",
        '23: mission.surface_sty: unknown key; did you mean "surface_stay", which is missing?',
    ),
    "misspelt table": (
        "[landing_site]",
        "[landing_sites]",
        '26: landing_sites: unknown key; did you mean "landing_site", which is missing?',
    ),
    "unknown key like an optional one": (
        'role = "adapter"',
        'role = "adapter"\nlable = "bay"',
        '130: elements.lander_bay.lable: unknown key; did you mean "label"?',
    ),
    "unknown key like none": (
        'platform_load = "2900 t"',
        'platform_load = "2900 t"\ncolour = "red"',
        '43: launch_site.pad.colour: unknown key; known: "door_height", "door_width", '
        '"hook_height", "platform_load", "umbilical_reach", "deflector_thrust", "foot_width", '
        '"post_height"',
    ),
    "missing table": (
        '[dates]\nlaunch_day = 2031-05-14\ntranslunar_time = "76 h"\ntransearth_time = "68 h"\n',
        "",
        "1: dates: missing; write the table [dates]",
    ),
    "what the profile needs": (
        'surface_stay = "34 h"\n',
        "",
        '16: mission.surface_stay: missing; write for example: surface_stay = "36 h"',
    ),
    "table that the profile needs": (
        '[landing_site]\nname = "Sinus Medii"\nlatitude = "1.7 deg"\nlongitude = "1.4 deg" ',
        "",
        "1: landing_site: missing; write the table [landing_site]",
    ),
    "unknown table": (
        'mass_growth = "3 %"',
        'mass_growth = "3 %"\n[orbits.x]',
        '62: orbits.x: unknown key; known: "parking_altitude", "parking_revolutions", '
        '"translunar_arc", "free_return_perilune", "approach", "approach_azimuth", '
        '"plane_turn", "lunar_gravity", "lunar_altitude", '
        '"lunar_apolune", "lunar_inclination", "lunar_argument_of_perilune", '
        '"capture_apolune", "capture_revolutions", "capture_plane_change", '
        '"heights_above", "descent_perilune", '
        '"ascent_perilune", "ascent_apolune", "flyby_altitude", "entry_angle"',
    ),
    "value that the profile has no use for": (
        'lunar_altitude = "110 km"',
        'lunar_altitude = "110 km"\nflyby_altitude = "90 km"',
        f"52: orbits.flyby_altitude: not used by the profile {LANDING}: it enters lunar orbit",
    ),
    "role that the profile needs": (
        'role = "service module"',
        'role = "adapter"',
        f'5: stack: no element has the role "service module", which the profile {LANDING} needs',
    ),
    "unknown choice": (
        LANDING,
        '"lunar-orbit landing"',
        '18: mission.profile: unknown "lunar-orbit landing"; did you mean '
        '"lunar-orbit-rendezvous landing"?',
    ),
    "unknown choice like none": (
        'propellant = "kerosene"',
        'propellant = "whale oil"',
        '88: elements.first_stage.tanks.kerosene.propellant: unknown "whale oil"; known: '
        '"liquid oxygen", "liquid hydrogen", "liquid methane", "kerosene", "NTO", "MMH", '
        '"hydrazine", "UDMH", "Aerozine-50", "solid propellant"',
    ),
    "choice that is no text": (
        'role = "adapter"',
        "role = 3",
        '129: elements.lander_bay.role: found 3; accepted: "launch stage", "transfer stage", '
        '"adapter", "descent stage", "ascent stage", "service module", "crew module", '
        '"escape tower", "fairing"',
    ),
    "other format": (
        "mplan-scenario/2",
        "mplan-scenario/9",
        '4: format: unknown "mplan-scenario/9"; did you mean "mplan-scenario/2"?',
    ),
    "text for a whole number": (
        "crew = 3",
        'crew = "3"',
        '19: mission.crew: found "3"; accepted: a whole number, at least 0, at most 20',
    ),
    "too small a whole number": (
        "crew = 3",
        "crew = 0",
        "19: mission.crew: found 0; accepted: 1 or more, but on a cargo flight",
    ),
    "part of a whole number": (
        "starts = 1",
        "starts = 1.5",
        f"97: {LIFT}.starts: found 1.5; accepted: a whole number, at least 1, at most 10,000,000",
    ),
    "number without a unit, with one": (
        "mixture_ratio = 2.5",
        'mixture_ratio = "2.5 kg"',
        f'101: {LIFT}.mixture_ratio: found "2.5 kg"; accepted: a number without a unit, '
        "at least 0.2, at most 20",
    ),
    "number that is not finite": (
        "mixture_ratio = 2.5",
        "mixture_ratio = inf",
        f"101: {LIFT}.mixture_ratio: found inf; accepted: a number without a unit, "
        "at least 0.2, at most 20",
    ),
    "text for a switch": (
        "settling_required = true",
        'settling_required = "yes"',
        '123: elements.transfer_stage.engines.main.settling_required: found "yes"; '
        "accepted: true or false",
    ),
    "number for a text": (
        'name = "Test Landing"',
        "name = 7",
        "17: mission.name: found 7; accepted: a text in quotes, one line of at most 160 characters",
    ),
    "value for a table": (
        '"translunar injection" = "1 %"',
        '"translunar injection" = "1 %"\n[margins.burns.climb]',
        "65: margins.burns.climb: found a table, not a quantity; accepted: a fraction with its "
        'unit, from 0 % to 100 %, like "2 %"',
    ),
    "misspelt burn with a margin": (
        '"translunar injection" =',
        '"translunar injecton" =',
        '64: margins.burns.translunar injecton: unknown name; did you mean "translunar injection"?',
    ),
    "day outside the ephemeris": (
        "2031-05-14",
        "2131-05-14",
        f"45: dates.launch_day: found 2131-05-14, outside the ephemeris; accepted: {DAY}",
    ),
    "day that is none": (
        "2031-05-14",
        '"soon"',
        f'45: dates.launch_day: found "soon", not a date; accepted: {DAY}',
    ),
    "more land than fly": (
        "landing_crew = 2",
        "landing_crew = 4",
        "20: mission.landing_crew: found 4; accepted: from 1 to the crew, 3",
    ),
    "nobody lands": (
        "landing_crew = 2\n",
        "",
        "16: mission.landing_crew: found 0; accepted: from 1 to the crew, 3",
    ),
    "azimuth below its range": (
        'azimuth = "76 deg"',
        'azimuth = "66 deg"',
        '35: launch_site.azimuth: found "66 deg"; accepted: at least launch_site.azimuth_min, '
        '"70 deg"',
    ),
    "azimuth above its range": (
        'azimuth = "76 deg"',
        'azimuth = "113 deg"',
        '35: launch_site.azimuth: found "113 deg"; accepted: at most launch_site.azimuth_max, '
        '"112 deg"',
    ),
    "capture orbit below the circular one": (
        'lunar_altitude = "110 km"',
        'lunar_altitude = "110 km"\ncapture_apolune = "90 km"',
        '52: orbits.capture_apolune: found "90 km"; accepted: at least orbits.lunar_altitude, '
        '"110 km"',
    ),
    "better at sea level than in vacuum": (
        'isp_sea_level = "298 s"',
        'isp_sea_level = "330 s"',
        f'96: {LIFT}.isp_sea_level: found "330 s"; accepted: at most isp_vacuum, "326 s"',
    ),
    "oxidiser without a ratio": (
        "mixture_ratio = 2.5\n",
        "",
        f"91: {LIFT}.mixture_ratio: missing, as there is an oxidiser; write for example: "
        "mixture_ratio = 2.5",
    ),
    "ratio without an oxidiser": (
        'fuel = "hydrazine"',
        'fuel = "hydrazine"\nmixture_ratio = 2.0',
        "155: elements.ascent_stage.engines.main.mixture_ratio: given without an oxidiser; "
        "name its tank too",
    ),
    "element twice in the stack": (
        '  "escape_tower",',
        '  "escape_tower",\n  "lander_bay",',
        '14: stack.8: "lander_bay" is in the stack already',
    ),
    "element that nothing uses": (
        '  "escape_tower",\n',
        "",
        "193: elements.escape_tower: nothing uses this element; put it into the stack",
    ),
    "element inside no element": (
        'inside = "lander_bay"',
        'inside = "lander_by"',
        '144: elements.ascent_stage.inside: no element is called "lander_by"; '
        'did you mean "lander_bay"?',
    ),
    "element inside itself": (
        'inside = "lander_bay"',
        'inside = "ascent_stage"',
        "144: elements.ascent_stage.inside: found the element itself",
    ),
    "tank that no engine draws from": (
        "[elements.crew_module.power]",
        '[elements.crew_module.tanks.spare]\npropellant = "MMH"\nload = "1 kg"\n'
        "[elements.crew_module.power]",
        "189: elements.crew_module.tanks.spare: no engine of this element draws from this tank, "
        "and no event transfers from it",
    ),
    "key given twice": (
        'dry_mass = "118 t"',
        'dry_mass = "118 t"\ndry_mass = "119 t"',
        "79: elements.first_stage.dry_mass: already given on line 78",
    ),
    "table given twice": (
        "[elements.lander_bay]",
        "[elements.transfer_stage]",
        "128: elements.transfer_stage: already given on line 103",
    ),
    "quantity without quotes": (
        PARKING,
        "parking_altitude = 185 km # low",
        "50: not valid TOML: Expected newline or end of document after a statement; "
        'write it in quotes: "185 km"',
    ),
    "open quote": (
        PARKING,
        'parking_altitude = "185 km',
        "50: not valid TOML: Illegal character '\\n'; a quote is not closed",
    ),
    "open bracket": (
        "[orbits]",
        "[orbits",
        "49: not valid TOML: Expected ']' at the end of a table declaration",
    ),
}

# The same, in a file that states its events.
ONE_EVENT_PROBLEM = {
    "unknown kind": (
        'do = "land"',
        'do = "lnd"',
        '295: events.19.do: unknown "lnd"; did you mean "land"?',
    ),
    "no kind": (
        'do = "land"',
        'name = "x"',
        '294: events.19.do: missing; write for example: do = "coast"',
    ),
    "coast with both": (
        'leg = "parking orbit"',
        'leg = "parking orbit"\nduration = "3 h"',
        "224: events.5: a coast has either a leg or a duration; this one has both",
    ),
    "coast with neither": (
        'leg = "parking orbit"\n',
        "",
        "224: events.5: a coast has either a leg or a duration; this one has neither",
    ),
    "unknown leg": (
        'leg = "powered descent"',
        'leg = "powered decent"',
        '291: events.18.leg: unknown "powered decent"; did you mean "powered descent"?',
    ),
    "circularisation without a capture orbit": (
        'leg = "lunar-orbit insertion"\nelement = "service_module"',
        'leg = "lunar-orbit insertion"\nelement = "service_module"\n\n[[events]]\ndo = "burn"\n'
        'leg = "lunar-orbit circularisation"\nelement = "service_module"',
        '49: orbits.capture_apolune: missing, as a burn has the leg "lunar-orbit circularisation"',
    ),
    "unknown element": (
        'origin = "crew_module"',
        'origin = "crew_modul"',
        '271: events.14.origin: no element is called "crew_modul"; did you mean "crew_module"?',
    ),
    "unknown element in a list": (
        'elements = ["transfer_stage", "lander_bay"]',
        'elements = ["transfer_stage", "landr_bay"]',
        '242: events.8.elements.1: no element is called "landr_bay"; did you mean "lander_bay"?',
    ),
    "no element in a list": (
        'elements = ["escape_tower"]',
        "elements = []",
        "221: events.4.elements: found an empty list; accepted: a list with at least one entry",
    ),
    "unknown engine": (
        'leg = "powered descent"',
        'leg = "powered descent"\nengine = "mane"',
        '292: events.18.engine: no engine of descent_stage is called "mane"; did you mean "main"?',
    ),
    "element without an engine": (
        'leg = "homeward correction"\nelement = "service_module"',
        'leg = "homeward correction"\nelement = "crew_module"',
        '350: events.30.element: "crew_module" has no engine to burn',
    ),
    "more move than fly": (
        'crew = 2\norigin = "crew_module"',
        'crew = 5\norigin = "crew_module"',
        "270: events.14.crew: found 5; accepted: at most the crew of the mission, 3",
    ),
}


@pytest.mark.parametrize(("old", "new", "line"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_one_problem(edit, complaints, old, new, line):
    edit(old, new)
    assert complaints() == [f"landing.toml:{line}"]


@pytest.mark.parametrize(("old", "new", "line"), ONE_EVENT_PROBLEM.values(), ids=ONE_EVENT_PROBLEM)
def test_one_event_problem(state_events, edit, complaints, old, new, line):
    state_events()
    edit(old, new)
    assert complaints() == [f"landing.toml:{line}"]


def test_misspelt_tank_leaves_the_tank_without_an_engine(edit, complaints):
    edit('fuel = "kerosene"', 'fuel = "kerosine"')
    assert complaints() == [
        "landing.toml:87: elements.first_stage.tanks.kerosene: no engine of this element "
        "draws from this tank, and no event transfers from it",
        f'landing.toml:99: {LIFT}.fuel: no tank of this element is called "kerosine"; '
        'did you mean "kerosene"?',
    ]


def test_one_tank_for_both_propellants(edit, complaints):
    edit('oxidiser = "oxygen"', 'oxidiser = "kerosene"')
    assert complaints() == [
        "landing.toml:83: elements.first_stage.tanks.oxygen: no engine of this element "
        "draws from this tank, and no event transfers from it",
        f'landing.toml:100: {LIFT}.oxidiser: found "kerosene", the fuel\'s tank',
    ]


def test_misspelt_name_in_the_stack_leaves_the_element_unused(edit, complaints):
    edit('"transfer_stage",', '"transfer_stge",')
    assert complaints() == [
        'landing.toml:7: stack.1: no element is called "transfer_stge"; '
        'did you mean "transfer_stage"?',
        "landing.toml:103: elements.transfer_stage: nothing uses this element; "
        "put it into the stack",
    ]


def test_name_that_is_none(edit, complaints):
    edit("[elements.lander_bay]", '[elements."lander bay"]')
    assert complaints()[1] == (
        "landing.toml:128: elements.lander bay: unknown name; accepted: a name that begins with "
        "a letter, of letters, digits, _ and -"
    )


SECOND_ENGINE = """\
[elements.ascent_stage.engines.spare]
count = 1
thrust_vacuum = "1 kN"
isp_vacuum = "230 s"
starts = 1
qualified_duration = "1 s"
fuel = "hydrazine"

[elements.service_module]
"""


def test_second_main_engine_must_be_told_apart(edit, complaints):
    edit("[elements.service_module]\n", SECOND_ENGINE)
    assert set(complaints()) == {
        f"landing.toml:1: events.{index}.engine: missing, as ascent_stage has several main "
        'engines; accepted: "main", "spare"'
        for index in (22, 23)
    }


@pytest.mark.parametrize(
    ("role", "purpose"), [("escape tower", "main"), ("crew module", "thrusters")]
)
def test_engine_that_needs_no_burn(edit, role, purpose):
    engine = SECOND_ENGINE.partition("\n\n")[0].replace("hydrazine", "tank")
    engine = engine.replace("ascent_stage.engines.spare", f"{role.replace(' ', '_')}.engines.x")
    tanks = 'tanks.tank = { propellant = "hydrazine", load = "1 t" }'
    text = f'role = "{role}"\n'
    edit(text, f'{text}{tanks}\nengines.x = {{ purpose = "{purpose}", {_inline(engine)} }}\n')
    element = load("landing.toml").elements[role.replace(" ", "_")]
    assert element.engines["x"].purpose == purpose


def _inline(table):
    return ", ".join(table.split("\n")[1:])


def test_no_events_at_all(edit, complaints):
    edit("stack = [", "events = []\nstack = [")
    assert complaints()[0] == (
        'landing.toml:5: events: found none; accepted: events from "lift-off" to "splash", '
        "or no key at all"
    )


def test_what_a_flyby_has_no_use_for(edit, complaints):
    edit("[dates]\n", '[dates]\ntranslunar_time = "70 h"\n', "flyby.toml")
    edit("flyby_altitude", 'lunar_altitude = "100 km"\nflyby_altitude', "flyby.toml")
    edit("crew = 2\n", 'crew = 2\nlunar_orbit_stay = "1 d"\n', "flyby.toml")
    unused = 'not used by the profile "free-return flyby":'
    assert complaints("flyby.toml") == [
        f"flyby.toml:11: mission.lunar_orbit_stay: {unused} it does not enter lunar orbit",
        f"flyby.toml:29: dates.translunar_time: {unused} it follows from the free return",
        f"flyby.toml:36: orbits.lunar_altitude: {unused} it does not enter lunar orbit",
    ]


def test_what_an_orbit_mission_has_no_use_for(edit, complaints):
    edit("entry_angle", 'descent_perilune = "15 km"\nentry_angle', "orbit.toml")
    assert complaints("orbit.toml") == [
        'orbit.toml:39: orbits.descent_perilune: not used by the profile "lunar orbit and '
        'return": it does not land'
    ]


def test_everything_in_one_go_in_reading_order(edit, complaints):
    edit("crew = 3", "crew = 0")
    edit(PARKING, "parking_altitude = 185")
    edit('dry_mass = "118 t"', 'dry_mas = "118 t"')
    edit('inside = "lander_bay"', 'inside = "lander_by"')
    edit('azimuth = "76 deg"', 'azimuth = "66 deg"')
    edit('load = "3.1 t"', "load = 3.1", "elements/descent.toml")
    assert [line.partition(": ")[0] for line in complaints()] == [
        "landing.toml:19",
        "landing.toml:35",
        "landing.toml:50",
        "landing.toml:78",
        "landing.toml:144",
        "elements/descent.toml:11",
    ]


def test_no_such_file(complaints):
    assert complaints("nowhere.toml") == ["nowhere.toml: no such file"]


def test_folder_for_a_file(folder, complaints):
    assert complaints("elements") == ["elements: cannot be read: Is a directory"]


def test_file_that_is_no_text(folder, complaints):
    (folder / "landing.toml").write_bytes(b"name = '\xff'")
    assert complaints() == ["landing.toml: not a text file in UTF-8"]


def test_empty_file_lacks_every_table(folder, complaints):
    (folder / "landing.toml").write_text("")
    assert len(complaints()) == 8
    assert complaints()[0] == (
        'landing.toml:1: format: missing; write for example: format = "mplan-scenario/2"'
    )


def test_element_file_problem_names_that_file(edit, complaints):
    edit('load = "3.1 t"', "load = 3.1", "elements/descent.toml")
    assert complaints() == [
        "elements/descent.toml:11: elements.descent_stage.tanks.MMH.load: found 3.1, a bare "
        f"number; accepted: {MASS}"
    ]


def test_missing_key_of_an_element_file_names_its_table_there(edit, complaints):
    edit('load = "3.1 t"\n', "", "elements/descent.toml")
    assert complaints() == [
        "elements/descent.toml:9: elements.descent_stage.tanks.MMH.load: missing; "
        'write for example: load = "11.5 t"'
    ]


def test_overriding_key_names_the_scenario(edit, complaints):
    edit('dry_mass = "2.2 t" ', "dry_mass = 2.2 ")
    assert complaints() == [
        "landing.toml:136: elements.descent_stage.dry_mass: found 2.2, a bare number; "
        f"accepted: {MASS}"
    ]


def test_missing_element_file(edit, complaints):
    edit("elements/descent.toml", "elements/dscent.toml")
    (only,) = complaints()
    assert only.startswith(
        'landing.toml:135: elements.descent_stage.from: found "elements/dscent.toml", no such file'
    )


def test_broken_element_file(edit, complaints):
    edit('role = "descent stage"', "role = descent stage", "elements/descent.toml")
    assert complaints() == [
        "elements/descent.toml:3: not valid TOML: Invalid value; "
        'write it in quotes: "descent stage"'
    ]


def test_element_file_takes_in_no_other(edit, complaints):
    edit("role =", 'from = "other.toml"\nrole =', "elements/descent.toml")
    assert complaints() == ["elements/descent.toml:3: from: an element file cannot take in another"]


def test_problems_can_be_read_one_by_one(edit):
    edit("crew = 3", "crew = 0")
    with pytest.raises(ScenarioError, match=r"mission\.crew") as caught:
        load("landing.toml")
    text = "found 0; accepted: 1 or more, but on a cargo flight"
    assert caught.value.problems == (Problem("landing.toml:19", "mission.crew", text),)
