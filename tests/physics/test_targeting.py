"""Newton's method on small problems with known answers."""

import numpy as np
import pytest

from mplan.physics.targeting import NoArc, Scaling, slopes, solve, solve_abreast, solve_each


def aim(unknowns, targets, limit=1.0, tolerance=1e-9):
    return Scaling(np.full(unknowns, 1e-6), np.full(unknowns, limit), np.full(targets, tolerance))


def test_square_problem():
    """x^2 + y^2 = 25 and x y = 12 meet at (3, 4)."""

    def miss(x):
        return np.array([x @ x - 25.0, x[0] * x[1] - 12.0])

    np.testing.assert_allclose(solve(miss, np.array([2.0, 5.0]), aim(2, 2)), [3.0, 4.0])


def test_targets_that_say_the_same_twice():
    """The slope is singular: of all points of x + y = 2 the one that is the least step away."""

    def miss(x):
        return np.array([x[0] + x[1] - 2.0, 2.0 * (x[0] + x[1] - 2.0)])

    np.testing.assert_allclose(solve(miss, np.array([1.5, 1.5]), aim(2, 2)), [1.0, 1.0])


@pytest.mark.parametrize("start", [(0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (-5.0, 4.0, 3.0)])
def test_more_unknowns_than_targets_takes_the_least_of_them(start):
    """Of all points of the plane x + 2 y + 2 z = 9 the one nearest zero, (1, 2, 2)."""
    found = solve(lambda x: np.array([x @ [1.0, 2.0, 2.0] - 9.0]), np.array(start), aim(3, 1, 9.0))
    np.testing.assert_allclose(found, [1.0, 2.0, 2.0], atol=0.01)  # LEAST of the limits


@pytest.mark.parametrize("distance", [1.5, 3.0, 10.0])
def test_the_least_on_a_strong_bend(distance):
    """The point of a small circle that is nearest zero.

    Going all the way to the least point of the tangent overshoots by (distance - 1) times, which
    never settles beyond a distance of two radii.
    """

    def miss(x):
        return np.array([np.hypot(x[0], x[1] - distance) - 1.0])

    found = solve(miss, np.array([0.6, distance - 0.8]), aim(2, 1, tolerance=1e-6))
    np.testing.assert_allclose(found, [0.0, distance - 1.0], atol=2e-3)


def test_least_is_measured_in_limits():
    """With x allowed ten times the change of y, x + y = 11 is met mostly by x."""
    scaled = Scaling(np.full(2, 1e-6), np.array([10.0, 1.0]), np.array([1e-9]))
    found = solve(lambda x: np.array([x.sum() - 11.0]), np.zeros(2), scaled)
    np.testing.assert_allclose(found, [11.0 * 100 / 101, 11.0 / 101])


def test_a_step_is_cut_to_its_limit():
    visited = []

    def miss(x):
        visited.append(x[0])
        return x - 10.0

    solve(miss, np.zeros(1), aim(1, 1, limit=2.0))
    assert max(np.diff(visited)) <= 2.0 + 1e-9


def test_after_a_long_step_slopes_are_flown_with_the_shot():
    """x^2 = 9 from 1, by steps of 4, 1.6 and 0.4, of which the last is short against 20."""
    asked = []

    def misses(xs):
        asked.append(len(xs))
        return [x**2 - 9.0 for x in xs]

    found = solve_abreast(misses, np.array([1.0]), aim(1, 1, limit=20.0))
    np.testing.assert_allclose(found, [3.0])
    assert asked[:3] == [2, 2, 2]  # the start, then after steps longer than 0.6
    assert set(asked[3:]) == {1}


def test_each_of_several_problems_is_solved_as_alone():
    """Roots of x^3 = 8, 27 and 1000, of which the last takes longest; shots are asked together."""
    cubes, asked = (8.0, 27.0, 1000.0), []

    def misses(shots):
        asked.append([i for i, _ in shots])
        return [x**3 - cubes[i] for i, x in shots]

    starts = [np.array([2.1]), np.array([3.5]), np.array([4.0])]
    found = solve_each(misses, starts, aim(1, 1, limit=20.0))
    for x, start, cube in zip(found, starts, cubes, strict=True):
        alone = solve(lambda x, cube=cube: x**3 - cube, start, aim(1, 1, limit=20.0))
        np.testing.assert_array_equal(x, alone)
    assert asked[0] == [0, 0, 1, 1, 2, 2]  # with the steps for the slopes
    assert set(asked[-1]) == {2}


def test_one_of_several_problems_that_is_not_met():
    with pytest.raises(NoArc, match="none was found"):
        solve_each(
            lambda shots: [x**2 + 2.0 * i - 1.0 for i, x in shots],
            [np.array([0.9]), np.array([0.9])],
            aim(1, 1),
            corrections=5,
        )


def test_the_start_is_left_as_it_was():
    start = np.array([2.0])
    solve(lambda x: x - 1.5, start, aim(1, 1))
    assert start[0] == 2.0


def test_no_arc_is_told_in_words():
    """No vector of misses: whoever reads it has no use for it."""
    with pytest.raises(NoArc, match=r"^none was found that meets its targets$"):
        solve(lambda x: np.array([x[0] ** 2 + 1.0]), np.array([1e-9]), aim(1, 1), corrections=5)


def test_what_goes_to_and_fro_between_two_places_is_given_up():
    """Newton's method on x^3 - 2 x + 2, from 0 to 1 and back for ever."""
    visited = []

    def miss(x):
        visited.append(x[0])
        return x**3 - 2.0 * x + 2.0

    with pytest.raises(NoArc):
        solve(miss, np.array([0.0]), aim(1, 1, limit=20.0))
    assert len(visited) < 12  # of some fifty


def test_steps_that_turn_and_shrink_are_gone_on_with():
    """Each 0.8 of the one before, the other way: the slope of |x|^(1/1.8) turned about zero."""
    power = 1.0 / 1.8

    def miss(x):
        return np.sign(x) * np.abs(x) ** power

    found = solve(miss, np.array([1.0]), aim(1, 1, limit=20.0, tolerance=1e-2), corrections=60)
    assert abs(miss(found)[0]) <= 1e-2


def test_what_goes_from_side_to_side_ends_on_its_targets():
    """Where the least is not settled in time, what meets the targets is returned all the same."""

    def miss(x):
        return np.array([np.hypot(x[0] - 3.0, x[1]) - 1.0 + 0.05 * np.sin(20.0 * x[1])])

    found = solve(miss, np.array([2.0, 0.3]), aim(2, 1))
    assert abs(miss(found)[0]) <= aim(2, 1).tolerance[0]


def test_slopes():
    def miss(x, y):
        return np.array([x * y, x + 3.0 * y])

    beside = [miss(2.0 + 1e-6, 5.0), miss(2.0, 5.0 + 1e-6)]
    found = slopes(miss(2.0, 5.0), beside, np.full(2, 1e-6))
    np.testing.assert_allclose(found, [[5.0, 2.0], [1.0, 3.0]], rtol=1e-6)


def test_the_bend_that_steps_show_leads_to_the_least_in_few_rounds():
    """The point of an ellipsoid nearest zero, to a millionth: by tangents alone it takes 35.

    At the answer (1, 0, 0) the ellipsoid is bent half as much as spheres about zero are.
    """
    asked = []

    def misses(xs):
        asked.append(len(xs))
        return [np.array([x[0] ** 2 + 0.5 * x[1] ** 2 + 0.3 * x[2] ** 2 - 1.0]) for x in xs]

    found = solve_abreast(misses, np.array([0.8, 0.5, 0.4]), aim(3, 1)._replace(least=1e-6))
    np.testing.assert_allclose(found, [1.0, 0.0, 0.0], atol=1e-5)
    assert len(asked) <= 10
