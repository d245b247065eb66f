"""A `[build]` that does not say all, or says something twice, has one clear message."""

from __future__ import annotations

import pytest

from mplan.scenario import load

TRANSFER = "elements.transfer_stage"
LENGTH, TANK = 'length = "15.2 m"\n', "[elements.transfer_stage.tanks.hydrogen]"
BUILD = f'[{TRANSFER}.build]\narrangement = "common bulkhead"\n'
ENGINE = 'mixture_ratio = 5.7\nlength = "3.8 m"\n'


@pytest.fixture
def built(folder, edit):
    """The landing's transfer stage, its length left to a build; returns a function to add keys."""
    edit(LENGTH, "")
    edit("mixture_ratio = 5.7\n", ENGINE)

    def build(more="", table=BUILD):
        edit(TANK, f"{table}{more}\n{TANK}")

    return build


def test_a_length_that_follows(built):
    built()
    assert load("landing.toml").elements["transfer_stage"].length is None


def test_neither_length_nor_build(edit, complaints):
    edit(LENGTH, "")
    (line,) = complaints()
    assert line.endswith(f'{TRANSFER}.length: missing; write for example: length = "15.2 m"')


def test_both(built, edit, complaints):
    built()
    edit('dry_mass = "11.5 t"\n', f'dry_mass = "11.5 t"\n{LENGTH}')
    (line,) = complaints()
    assert line.endswith(
        f'{TRANSFER}.length: found "15.2 m" beside [build], from which the length follows; '
        "leave one of the two out"
    )


def test_engine_without_length(built, edit, complaints):
    built()
    edit(ENGINE, "mixture_ratio = 5.7\n")
    (line,) = complaints()
    text = f'{TRANSFER}.engines.main.length: missing; write for example: length = "3.2 m"'
    assert line.endswith(text)


ADDED = {
    "order of what is not there": (
        'order = ["hydrogen", "kerosene"]\n',
        'build.order: found "hydrogen", "kerosene"; accepted: each tank of the main engines '
        'once, "hydrogen", "oxygen"',
    ),
    "build of a tank that is not there": (
        f"[{TRANSFER}.build.tanks.hydrogn]\ncount = 2\n",
        'build.tanks.hydrogn: no tank of the main engines is called "hydrogn"; '
        'did you mean "hydrogen"?',
    ),
    "two tanks in half a shell": (
        f"[{TRANSFER}.build.tanks.hydrogen]\ncount = 2\n",
        "build.tanks.hydrogen.count: both tanks of a common bulkhead share one shell; leave it out",
    ),
    "nested too far": (
        'nested = "4 m"\n',
        'build.nested: found "4 m"; accepted: at most the engine\'s length, "3.8 m"',
    ),
    "domes deeper than hemispheres": (
        'dome_depth = "120 %"\n',
        'build.dome_depth: found "120 %", too large; accepted: a fraction with its unit, '
        'from 5 % to 100 %, like "71 %"',
    ),
    "unknown key": ('tops = "2 m"\n', 'build.tops: unknown key; did you mean "top"?'),
}


@pytest.mark.parametrize(("more", "text"), ADDED.values(), ids=ADDED.keys())
def test_one_message(built, complaints, more, text):
    built(more)
    (line,) = complaints()
    assert line.startswith("landing.toml:")
    assert line.endswith(f"{TRANSFER}.{text}")


def test_a_sphere_with_a_diameter(built, complaints):
    table = f'[{TRANSFER}.build]\narrangement = "separate"\n[{TRANSFER}.build.tanks.oxygen]\n'
    built('shape = "sphere"\ndiameter = "5 m"\n', table)
    (line,) = complaints()
    text = "given for a sphere, whose diameter follows from its load; leave it out"
    assert line.endswith(f"{TRANSFER}.build.tanks.oxygen.diameter: {text}")


def test_unknown_arrangement(built, complaints):
    built(table=f'[{TRANSFER}.build]\narrangement = "seperate"\n')
    (line,) = complaints()
    assert line.endswith('build.arrangement: unknown "seperate"; did you mean "separate"?')


def test_build_without_main_tanks(edit, complaints):
    edit('role = "adapter"\n', 'role = "adapter"\nbuild = { arrangement = "side" }\n')
    edit('length = "8.4 m"\n', "")
    (line,) = complaints()
    text = "no main engine draws from a tank here; state the length instead"
    assert line.endswith(f"elements.lander_bay.build: {text}")


@pytest.mark.parametrize(
    ("beside", "text"),
    [
        ("transfer_stage", "found the element itself"),
        ("first_stag", 'no element is called "first_stag"; did you mean "first_stage"?'),
    ],
)
def test_beside_what(edit, complaints, beside, text):
    edit(LENGTH, f'{LENGTH}beside = "{beside}"\n')
    (line,) = complaints()
    assert line.endswith(f"{TRANSFER}.beside: {text}")


def test_beside_and_inside(edit, complaints):
    edit(LENGTH, f'{LENGTH}beside = "first_stage"\ninside = "lander_bay"\n')
    (line,) = complaints()
    assert line.endswith(f"{TRANSFER}.beside: given together with inside; leave one of the two out")


def test_a_build_is_saved_with_its_changes(built, folder):
    """A changed build is written into the file and reads back."""
    built('top = "2 m"\n')
    saved = load("landing.toml").change(f"{TRANSFER}.build.top", "2.5 m").save("other.toml")
    assert saved.elements["transfer_stage"].build.top == 2.5
