"""The Moon's field: coefficients against a second published model, and how it pulls."""

from math import cos, factorial, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.special import lpmv

from mplan.physics import constants as c
from mplan.physics.arcs import figure_dop853, figure_heyoka
from mplan.physics.bodies import ephemeris, lunar_gravity, selenography
from mplan.physics.bodies.lunar_gravity import Term

T = 5e8
OTHER = Path(__file__).parents[2] / "published" / "data" / "lunar_field_lp150q.csv"


def other_model():
    """Return C, S and their deviations of LP150Q by degree and order, normalised."""
    rows = np.genfromtxt(OTHER, delimiter=",", comments="#", skip_header=4)
    return {(int(n), int(m)): tuple(rest) for n, m, *rest in rows}


def normalised(term):
    n, m = term.n, term.m
    scale = sqrt((2 if m else 1) * (2 * n + 1) * factorial(n - m) / factorial(n + m))
    return term.c / scale, term.s / scale


def test_coefficients_against_another_model():
    """LP150Q, ten years older, within six of its own standard deviations.

    Tracked over the near side alone, it states them too small; a wrong sign or row would be tens
    of them off.
    C20 and C22 of GL0660B hold the permanent tide, 4e-8 and 7e-8 once normalised, LP150Q's not:
    there, 0.4 %.
    """
    other = other_model()
    found = {(x.n, x.m): normalised(x) for x in lunar_gravity.terms(8)}
    assert set(found) == {(n, m) for n, m in other if n > 2 or m in (0, 2)}
    for place, (cosine, sine) in found.items():
        c_other, s_other, c_off, s_off = other[place]
        tide = 0.004 * abs(c_other) if place[0] == 2 else 0.0
        assert abs(cosine - c_other) <= 6.0 * c_off + tide
        assert abs(sine - s_other) <= 6.0 * s_off + tide


def test_published_values_of_the_second_degree():
    """The range of the models of the last decades; and beta and gamma of the librations.

    JPL's Moon page of DE431 (read): beta = (C-A)/B = 6.310213e-4, gamma = (B-A)/C = 2.277317e-4,
    C/MR^2 = 0.393142 at R = 1738 km: the moments must be J2 and C22, 0.1 %.
    """
    assert 2.0321e-4 < c.J2_MOON < 2.0346e-4
    assert pytest.approx(2.24e-5, rel=2e-3) == c.C22_MOON
    # C22 = (B - A) / 4MR^2 and J2 = (C - (A + B) / 2) / MR^2
    third, beta, gamma = 0.393142, 6.310213e-4, 2.277317e-4
    second = third * (1.0 + gamma) / (1.0 + beta)  # from C - A = beta B and B - A = gamma C
    first = third - beta * second
    assert pytest.approx((second - first) / 4.0, rel=2e-3) == c.C22_MOON
    assert pytest.approx(third - (first + second) / 2.0, rel=2e-3) == c.J2_MOON


def potential(place, terms):
    """Return the potential [m2/s2] at `place` in the field's axes, by the text-book series."""
    r = np.linalg.norm(place)
    longitude, height = np.arctan2(place[1], place[0]), place[2] / r
    series = 1.0
    for n, m, cosine, sine in terms:
        wave = cosine * cos(m * longitude) + sine * sin(m * longitude)
        series += (c.R_MOON_FIELD / r) ** n * (-1) ** m * lpmv(m, n, height) * wave
    return c.MU_MOON / r * series


def slope(place, terms):
    """Return the gradient of the potential [m/s2], by differences."""
    step = 20.0
    return np.array(
        [
            (potential(place + x, terms) - potential(place - x, terms)) / (2.0 * step)
            for x in step * np.eye(3)
        ]
    )


PLACES = np.random.default_rng(3).normal(size=(12, 3))
PLACES = [*(1.85e6 * x / np.linalg.norm(x) for x in PLACES), np.array([3e6, 2e6, 5e6])]


class Numbers:
    """Stands in for the library of expressions: the same formulas in numbers, at the start."""

    time = 0.0
    cos, sin = np.cos, np.sin

    @staticmethod
    def sum(parts):
        return sum(parts)


@pytest.mark.parametrize("degree", [2, 8])
@pytest.mark.parametrize("place", PLACES, ids=range(13))
def test_both_formulas_are_the_potentials_slope(degree, place):
    """Two ways to write the pull, against a third: 1e-9 m/s2, of 1e-3 that the figure pulls."""
    axes, terms = lunar_gravity.principal_axes(T), lunar_gravity.terms(degree)
    wanted, offset = slope(place, terms) @ axes, place @ axes
    turning = list(figure_heyoka.turning(T, c.DAY))
    one = figure_heyoka.moon_pull(Numbers, list(offset), turning, degree)
    np.testing.assert_allclose(one, wanted, atol=1e-9)
    central = -c.MU_MOON * offset / np.linalg.norm(offset) ** 3
    other = figure_dop853.figure_pull(tuple(offset), [*axes[0], *axes[2]], terms)
    np.testing.assert_allclose(central + other, wanted, atol=1e-9)


def test_over_the_pole():
    """Where longitude has no meaning the pull is as next to it."""
    axes, terms = np.eye(3), lunar_gravity.terms(8)
    here = figure_dop853.figure_pull((0.0, 0.0, 1.8e6), [*axes[0], *axes[2]], terms)
    beside = figure_dop853.figure_pull((1.0, 0.0, 1.8e6), [*axes[0], *axes[2]], terms)
    np.testing.assert_allclose(here, beside, atol=1e-8)


def test_principal_axes_lie_by_the_mean_earth_axes():
    """The constant turns between them, 79 and 68 arcsec, and the series' 20 (see selenography)."""
    for t in np.arange(-9.5e8, 15.5e8, 2.7e8):
        between = lunar_gravity.principal_axes(t) @ selenography.moon_fixed_axes(t).T
        np.testing.assert_allclose(between @ between.T, np.eye(3), atol=1e-14)
        arcsec = np.degrees([between[0, 1], -between[0, 2], between[1, 2]]) * 3600.0
        np.testing.assert_allclose(arcsec, [67.9, 78.6, 0.3], atol=20.0)


@pytest.mark.parametrize(("days", "off"), [(1.0, 5e-6), (5.0, 1e-4), (-4.0, 1e-4), (15.0, 1e-3)])
def test_how_well_the_turning_is_set_out(days, off):
    """The axes as heyoka has them on an arc, against DE421's: what the module says."""
    for start in (T, T + 9.0 * c.DAY, T + 18.0 * c.DAY):
        pole, lean, a, b, rest = np.split(figure_heyoka.turning(start, days * c.DAY), [3, 6, 9, 12])
        for after in np.linspace(0.0, days * c.DAY, 9):
            x, z = _set_out(after, pole, lean, a, b, rest)
            axes = lunar_gravity.principal_axes(start + after)
            assert np.linalg.norm(x - axes[0]) < off
            assert np.linalg.norm(z - axes[2]) < off


def _set_out(after, pole, lean, a, b, rest):
    class At(Numbers):
        time = after

    return map(np.array, figure_heyoka._pointing(At, [*pole, *lean, *a, *b, *rest]))


def test_only_what_the_ephemeris_covers_is_asked():
    """Its first day can be flown from, though nodes before it are wanted."""
    first = (ephemeris._de421().jalpha - 2451545.0) * c.DAY
    assert np.all(np.isfinite(figure_heyoka.turning(first + c.DAY, 5.0 * c.DAY)))


def test_a_term_is_not_normalised():
    """C31 by hand: sqrt(2 (2 n + 1) (n - 1)! / (n + 1)!) = sqrt(7 / 6)."""
    c31 = next(x for x in lunar_gravity.terms(8) if x[:2] == (3, 1))
    assert c31 == Term(3, 1, pytest.approx(26.3680455e-6 * sqrt(7.0 / 6.0)), c31.s)
