"""Errors carried along an arc, against variations integrated here and arcs flown with errors."""

from datetime import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from mplan.physics import constants as c
from mplan.physics.arcs import dispersion, nbody
from mplan.physics.arcs.dispersion import Execution, InjectionErrors, Knowledge, plan_corrections
from mplan.physics.bodies import ephemeris, lunar_gravity
from mplan.physics.twobody import kepler
from mplan.physics.vectors import cross, turned, unit

J = np.block([[np.zeros((3, 3)), np.eye(3)], [-np.eye(3), np.zeros((3, 3))]])
BLOCKS = [np.s_[i : i + 3, j : j + 3] for i in (0, 3) for j in (0, 3)]
BURN = InjectionErrors(
    speed=0.05, direction=1e-5, time=0.5
)  # small: the arcs flown must stay linear
FIRST, SECOND = 9 * c.HOUR, 50 * c.HOUR
FLOWN = 200  # arcs, each with errors of its own


@pytest.fixture(scope="module")
def arc(planned):
    """Return r, v, t and duration of a 72 h arc to perilune."""
    out = planned(datetime(1972, 2, 5))[1]
    return out.r, out.v, out.injection, out.perilune.t - out.injection


def end_of(r, v, t, duration):
    end = nbody.fly_arc(r, v, t, duration)
    return np.concatenate([end.r, end.v])


# --- The state transition matrix


def figure(offset, axes):
    """Return what the Moon's J2 and C22 add [m/s2]: the slope of their potential, r complex."""
    x, y, z = axes @ offset
    square = offset @ offset
    k = c.MU_MOON * c.R_MOON_FIELD**2 * square**-2.5
    j2, c22 = c.J2_MOON, c.C22_MOON
    ahead = 1.5 * j2 * (5.0 * z**2 / square - 1.0) - 15.0 * c22 * (x**2 - y**2) / square
    along = np.array([6.0 * c22 * x, -6.0 * c22 * y, -3.0 * j2 * z])
    return k * (ahead * offset + along @ axes)


def pulled(r, pole, moon, sun, axes):
    """Return Earth's, Moon's and Sun's pull [m/s2]; `r` may be complex."""

    def point(mu, offset):
        return -mu * offset * (offset @ offset) ** -1.5

    square, height = r @ r, r @ pole
    j2 = 1.5 * c.J2_EARTH * c.MU_EARTH * c.R_EARTH**2 * square**-2.5
    bulge = j2 * ((5.0 * height**2 / square - 1.0) * r - 2.0 * height * pole)
    tides = [point(c.MU_MOON, r - moon), point(c.MU_MOON, moon)]
    tides += [point(c.MU_SUN, r - sun), point(c.MU_SUN, sun)]
    return point(c.MU_EARTH, r) + bulge + sum(tides) + figure(r - moon, axes)


def variational(r, v, t, duration):
    """Return the transition matrix, integrated together with the arc.

    The gradient of the pull is its derivative by complex steps, exact to rounding.
    """
    pole = nbody.earth_pole(t)

    def rates(after, y):
        at = np.array([t + after])
        axes = lunar_gravity.principal_axes(t + after)
        bodies = pole, ephemeris.moon(at).r[0], ephemeris.sun(at).r[0], axes
        slopes = [pulled(y[:3] + 1e-10j * e, *bodies).imag / 1e-10 for e in np.eye(3)]
        matrix = y[6:].reshape(6, 6)
        grown = np.array(slopes).T @ matrix[:3]
        pull = pulled(y[:3], *bodies)
        return np.concatenate([y[3:6], pull, matrix[3:].ravel(), grown.ravel()])

    start = np.concatenate([r, v, np.eye(6).ravel()])
    run = solve_ivp(rates, (0.0, duration), start, "DOP853", rtol=1e-10, atol=1e-7)
    return run.y[6:, -1].reshape(6, 6)


@pytest.mark.parametrize("hours", [(0, 9), (0, 72), (26, 72)])
def test_transition_is_that_of_the_variational_equations(arc, hours):
    """Point masses and J2, Moon and Sun from DE421; each block of the matrix to 1e-4.

    The third order of the differences makes 5e-5 over the whole way. One of the integrators
    carries its own Moon, up to 30 m from DE421's after three days: the slope of the Moon's pull,
    at 1850 km from its centre, then differs by three times 1.6e-5.
    """
    r, v, t, _ = arc
    begin, end = (x * c.HOUR for x in hours)
    state = end_of(r, v, t, begin)
    found = dispersion.transition_matrix(state[:3], state[3:], t + begin, end - begin)
    wanted = variational(state[:3], state[3:], t + begin, end - begin)
    for block in BLOCKS:
        assert np.linalg.norm(found[block] - wanted[block]) < 1e-4 * np.linalg.norm(wanted[block])


def test_transition_of_a_short_flight_is_kepler_s(arc):
    """An hour at 20 000 km: differences of the closed form, but for what J2, Moon and Sun add.

    3 J2 (R / r)^2 is 3e-4 of the slope of Earth's pull there, the Moon's tide 5e-6.
    """
    t = arc[2]
    r, v = np.array([2e7, 1e6, -3e6]), np.array([-300.0, 4200.0, 1500.0])
    found = dispersion.transition_matrix(r, v, t, c.HOUR)
    for i in range(6):
        step = np.zeros(6)
        step[i] = 10.0 if i < 3 else 1e-2
        ahead, behind = (
            np.concatenate(kepler(r + s * step[:3], v + s * step[3:], c.HOUR, c.MU_EARTH))
            for s in (1.0, -1.0)
        )
        wanted = (ahead - behind) / (2.0 * step[i])
        for part in (np.s_[:3], np.s_[3:]):
            off = np.linalg.norm(found[part, i] - wanted[part])
            assert off < 1e-3 * np.linalg.norm(wanted[part])


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    distance=st.floats(1e7, 1e8),
    pace=st.floats(0.9, 1.2),
    turns=st.tuples(st.floats(0.0, 6.0), st.floats(0.0, 6.0)),
    share=st.floats(0.05, 0.6),
)
def test_transition_is_symplectic(distance, pace, turns, share):
    """Gravity alone moves the craft, so the matrix keeps J.

    To 1e-4 of the terms that cancel. To 1e-3 with dop853 alone: it holds its error to 1e-6 m/s
    a step, against differences in velocity of some millimetres a second on short arcs (2e-4 was
    found there); a wrong gradient of gravity would show in the first digit.
    """
    r = turned(np.array([distance, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), turns[0])
    speed = pace * np.sqrt(c.MU_EARTH / distance)
    v = speed * turned(unit(cross(np.array([0.1, 0.2, 1.0]), r)), unit(r), turns[1])
    duration = share * 2.0 * np.pi * np.sqrt(distance**3 / c.MU_EARTH)
    bound = 1e-4 if nbody.back_ends()[0] == "heyoka" else 1e-3
    assert_symplectic(dispersion.transition_matrix(r, v, 8e8, duration), bound)


def assert_symplectic(matrix, bound=1e-4):
    kept = matrix.T @ J @ matrix - J
    size = np.abs(matrix.T) @ np.abs(J) @ np.abs(matrix)  # of the terms that must cancel
    assert np.max(np.abs(kept) / size) < bound


def test_the_whole_way_is_symplectic(arc):
    """So it is over 72 hours from a low orbit to perilune."""
    assert_symplectic(dispersion.transition_matrix(*arc))


def test_transitions_follow_one_another(arc):
    """The matrix of a whole is the product of those of its parts, as nearly as above."""
    r, v, t, duration = arc
    middle = end_of(r, v, t, FIRST)
    rest = dispersion.transition_matrix(middle[:3], middle[3:], t + FIRST, duration - FIRST)
    product = rest @ dispersion.transition_matrix(r, v, t, FIRST)
    whole = dispersion.transition_matrix(*arc)
    for block in BLOCKS:
        assert np.linalg.norm(product[block] - whole[block]) < 1e-4 * np.linalg.norm(whole[block])


# --- Errors of a burn


@pytest.fixture(scope="module")
def astray(arc):
    """Return starts (n, 6) with errors of the burn, each made as the error would be made."""
    r, v, t, _ = arc
    draws = np.random.default_rng(7).standard_normal((FLOWN, 4))
    starts = []
    for speed, up, aside, late in draws:
        tilt = turned(v, unit(cross(r, v)), BURN.direction * up)
        tilt = turned(tilt, unit(cross(cross(r, v), v)), BURN.direction * aside)
        begun = tilt + BURN.speed * speed * unit(v)
        starts.append(end_of(r, begun, t, -BURN.time * late))  # late: not yet so far
    return np.array(starts)


@pytest.fixture(scope="module")
def gone_astray(arc, astray):
    """Return states (n, 6) of those arcs at the first correction."""
    return np.array([end_of(x[:3], x[3:], arc[2], FIRST) for x in astray])


def test_covariance_is_that_of_arcs_flown(arc, gone_astray):
    """Carried to the first correction, it is that of 200 arcs flown with errors.

    Of three normal components in units of their own deviation the squares add up to 3 on
    average, of 200 draws with a deviation of sqrt(6 / 200) = 0.17; and each axis has its share.
    """
    r, v, t, _ = arc
    grow = dispersion.transition_matrix(r, v, t, FIRST)
    carried = (grow @ dispersion.covariance(r, v, t, BURN) @ grow.T)[:3, :3]
    off = gone_astray[:, :3] - end_of(r, v, t, FIRST)[:3]
    own = np.linalg.solve(np.linalg.cholesky(carried), off.T)
    assert np.mean(np.sum(own**2, axis=0)) == pytest.approx(3.0, abs=3.5 * np.sqrt(6 / FLOWN))
    assert np.mean(own**2, axis=1) == pytest.approx(np.ones(3), abs=3.5 * np.sqrt(2 / FLOWN))
    assert np.abs(np.corrcoef(own) - np.eye(3)).max() < 3.5 / np.sqrt(FLOWN)


def test_lateness_alone_costs_no_steering(arc):
    """A craft half a second late, on the right path, has 63 h to make it up.

    That is 2e-6 of its speed, or some millimetres a second.
    """
    r, v, t, duration = arc
    spread = dispersion.covariance(r, v, t, InjectionErrors(0.0, 0.0, 0.5))
    (late,) = plan_corrections(r, v, t, duration, [FIRST], spread)
    assert 1e-4 < late.mean < 0.02


# --- Corrections


@pytest.mark.parametrize(
    ("axes", "mean", "most"),
    [
        (np.eye(3), np.sqrt(8.0 / np.pi), 3.3682),
        (np.diag([0.0, 1.0, 1.0]), np.sqrt(np.pi / 2.0), 3.0349),
        (np.diag([0.0, 0.0, 1.0]), np.sqrt(2.0 / np.pi), 2.5758),
    ],
)
def test_sizes_are_those_of_the_chi_distributions(arc, axes, mean, most):
    """Taken out at once, errors of velocity cost just themselves.

    In three dimensions Maxwell's distribution, in two Rayleigh's, in one the half-normal:
    means from Abramowitz & Stegun, 26.4.34 (from memory), 99 % points the roots of its table
    26.8: 11.345, 9.210, 6.635. Drawn 50 000 times: 1 %.
    """
    spread = np.zeros((6, 6))
    spread[3:, 3:] = 0.04 * axes
    (first,) = plan_corrections(*arc, [0.0], spread)
    assert first.mean == pytest.approx(0.2 * mean, rel=0.01)
    assert first.most == pytest.approx(0.2 * most, rel=0.01)


def test_no_error_needs_no_correction(arc):
    """Nothing in, nothing out."""
    (none,) = plan_corrections(*arc, [FIRST], np.zeros((6, 6)), Execution(0.1, 0.1))
    assert none == pytest.approx((FIRST, 0.0, 0.0, 0.0), abs=1e-12)


def flown_badly(burn, execution, draws):
    """Return a burn with errors of size and direction, turned as a craft would be."""
    aside = unit(cross(burn, np.array([0.3, 0.5, 0.8])))
    burn = turned(burn, aside, execution.direction * draws[0])
    burn = turned(burn, unit(cross(aside, burn)), execution.direction * draws[1])
    return burn * (1.0 + execution.size * draws[2])


@pytest.fixture(scope="module")
def steered(arc, gone_astray):
    """Return sizes of two corrections and the miss after each, of 200 arcs flown and steered.

    Each correction is found on the flown arc, by a Newton step from where it is and another
    from where that leads; the matrix at the nominal arc serves as slope.
    """
    r, v, t, duration = arc
    aim = end_of(*arc)[:3]
    execution = Execution(size=0.02, direction=0.01)
    draws = np.random.default_rng(11).standard_normal((FLOWN, 2, 3))

    def steer(state, now, slope):
        burn = np.zeros(3)
        for _ in range(2):
            miss = end_of(state[:3], state[3:] + burn, t + now, duration - now)[:3] - aim
            burn = burn - np.linalg.solve(slope, miss)
        return burn

    slopes = []
    for now in (FIRST, SECOND):
        there = end_of(r, v, t, now)
        slopes.append(
            dispersion.transition_matrix(there[:3], there[3:], t + now, duration - now)[:3, 3:]
        )

    rows = []
    for state, draw in zip(gone_astray, draws, strict=True):
        sizes, misses, now = [], [], FIRST
        for at, slope, errors in zip((FIRST, SECOND), slopes, draw, strict=True):
            state = end_of(state[:3], state[3:], t + now, at - now)
            now = at
            burn = steer(state, now, slope)
            state[3:] += flown_badly(burn, execution, errors)
            sizes.append(np.linalg.norm(burn))
            left = end_of(state[:3], state[3:], t + now, duration - now)[:3] - aim
            misses.append(np.linalg.norm(left))
        rows.append([*sizes, *misses])
    return execution, np.array(rows)


def test_corrections_are_those_of_arcs_flown_and_steered(arc, steered):
    """Mean sizes and root mean square misses, against 200 arcs: four deviations of such a mean.

    Their tails too, as 200 arcs can tell: few may need more than the 99 % size, and the largest
    of them comes near it.
    """
    r, v, t, duration = arc
    execution, rows = steered
    spread = dispersion.covariance(r, v, t, BURN)
    planned = plan_corrections(r, v, t, duration, [FIRST, SECOND], spread, execution)
    for i, correction in enumerate(planned):
        sizes, misses = rows[:, i], rows[:, 2 + i]
        error = 4.0 / np.sqrt(FLOWN)
        assert correction.mean == pytest.approx(sizes.mean(), abs=error * sizes.std())
        assert correction.miss**2 == pytest.approx(
            np.mean(misses**2), abs=error * np.std(misses**2)
        )
        assert np.sum(sizes > correction.most) <= 8  # of 2 expected
        assert sizes.max() > 0.7 * correction.most


def test_a_second_correction_takes_out_what_the_first_left(arc):
    """It is smaller and leaves less; without errors of execution the first leaves nothing."""
    r, v, t, duration = arc
    spread = dispersion.covariance(r, v, t, InjectionErrors(0.3, 3e-4, 1.0))
    first, second = plan_corrections(
        r, v, t, duration, [FIRST, SECOND], spread, Execution(0.02, 0.01)
    )
    assert second.most < 0.2 * first.most
    assert second.miss < 0.05 * first.miss
    (alone,) = plan_corrections(r, v, t, duration, [FIRST], spread)
    assert alone.miss < 1e-3
    assert alone.mean == pytest.approx(first.mean)


def forgotten():
    dispersion._planned.cache_clear()
    dispersion._corrected.cache_clear()
    dispersion._left.cache_clear()


@pytest.mark.parametrize("knowledge", [Knowledge(), Knowledge(3e3, 0.15)])
def test_the_first_correction_remembered_leads_to_the_same_second(arc, knowledge):
    """A flight asks for the first alone, then for both: the same digits as for both at once."""
    spread = dispersion.covariance(*arc[:3], BURN)
    asked = (spread, Execution(0.02, 0.01), knowledge)
    forgotten()
    both = plan_corrections(*arc, [FIRST, SECOND], *asked)
    forgotten()
    assert plan_corrections(*arc, [FIRST], *asked) == both[:1]
    assert plan_corrections(*arc, [FIRST, SECOND], *asked) == both


def test_draws_in_pieces_lead_to_what_all_at_once_do(arc, monkeypatch):
    """To rounding: BLAS is free to add up long products in another order."""
    spread = dispersion.covariance(*arc[:3], BURN)
    forgotten()
    found = plan_corrections(*arc, [FIRST, SECOND], spread, Execution(0.02, 0.01))
    forgotten()
    monkeypatch.setattr(dispersion, "PIECE", dispersion.DRAWS)
    at_once = plan_corrections(*arc, [FIRST, SECOND], spread, Execution(0.02, 0.01))
    np.testing.assert_allclose(at_once, found, rtol=1e-12)


def test_waiting_costs(arc):
    """The same error is dearer to take out the longer it has grown."""
    spread = dispersion.covariance(*arc[:3], InjectionErrors(0.3, 3e-4, 1.0))
    sizes = [plan_corrections(*arc, [x * c.HOUR], spread)[0].most for x in (4, 9, 26, 50)]
    assert sizes == sorted(sizes)


@pytest.mark.parametrize("hours", [9, 26])
def test_sizes_are_of_the_order_flown(arc, hours):
    """An injection good to 1 ft/s asks for corrections such as were flown.

    Outbound corrections of NASA SP-2000-4029, those that changed to another path omitted: 20.4,
    20.9, 5.3, 12.5 and 10.5 ft/s (from memory), 9 h to 33 h after injection. The errors behind
    them are not known one by one: the 99 % size must cover the middle one and not exceed three
    times the largest.
    """
    flown = np.array([20.4, 20.9, 5.3, 12.5, 10.5]) * 0.3048
    spread = dispersion.covariance(*arc[:3], InjectionErrors(speed=0.3048, direction=0.0))
    (first,) = plan_corrections(*arc, [hours * c.HOUR], spread)
    assert np.median(flown) < first.most < 3.0 * flown.max()


# --- What navigation does not see

SEEN = Knowledge(position=3e3, velocity=0.15)


def test_what_is_not_seen_is_corrected_in_vain(arc):
    """With no errors at all, a correction is as large as navigation's own and leaves it.

    Covariances in closed form from the transition matrices; 50 000 draws are good to 1 %.
    """
    r, v, t, duration = arc
    found = plan_corrections(*arc, [FIRST], np.zeros((6, 6)), knowledge=SEEN)[0]
    state = end_of(r, v, t, FIRST)
    to_end = dispersion.transition_matrix(state[:3], state[3:], t + FIRST, duration - FIRST)[:3]
    known = np.diag(np.repeat(np.square(SEEN), 3))
    gain = np.linalg.solve(to_end[:, 3:], to_end)
    size = np.sqrt(np.trace(gain @ known @ gain.T))
    # Of three normal components the mean size lies between that of one and of three equal ones.
    assert np.sqrt(2.0 / np.pi) * 0.99 < found.mean / size < np.sqrt(8.0 / (3.0 * np.pi)) * 1.01
    assert found.miss == pytest.approx(np.sqrt(np.trace(to_end @ known @ to_end.T)), rel=0.01)


def test_a_second_correction_takes_out_what_the_first_did_not_see(arc):
    """Two of the same knowledge: the miss is that of the second alone, ten times nearer in time."""
    start = dispersion.covariance(*arc[:3], BURN)
    both = plan_corrections(*arc, [FIRST, SECOND], start, knowledge=SEEN)
    alone = plan_corrections(*arc, [SECOND], np.zeros((6, 6)), knowledge=SEEN)[0]
    assert both[1].miss == pytest.approx(alone.miss, rel=0.01)
    assert both[1].miss < 0.7 * both[0].miss
    assert both[0].most > plan_corrections(*arc, [FIRST], start)[0].most


def test_a_state_that_is_known_changes_nothing(arc):
    """Draw for draw: what is planned without navigation errors stays what it was."""
    start = dispersion.covariance(*arc[:3], BURN)
    plain = plan_corrections(*arc, [FIRST, SECOND], start, Execution(0.01, 0.005))
    known = plan_corrections(*arc, [FIRST, SECOND], start, Execution(0.01, 0.005), Knowledge())
    assert plain == known
