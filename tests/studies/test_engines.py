"""Trades of engines: what the table says is what flying the swapped scenario gives."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.scenario import ScenarioError, catalogue
from mplan.show import engine_trades
from mplan.studies import engines
from mplan.studies.engines import Mount
from mplan.vehicle import swap
from mplan.vehicle.stack import on_pad

FIRST, SECOND = Mount("first_stage", "lift"), Mount("second_stage", "main")
TRANSFER, ASCENT = Mount("transfer_stage", "main"), Mount("ascent_stage", "main")
SHIP = Mount("service_module", "main")


@pytest.fixture(scope="module")
def listed(reference_landing):
    """The demo's catalogue, by the name of the engine."""
    where = catalogue.folder(reference_landing, *FIRST)
    return {each.name: each for each in catalogue.read(where)}


@pytest.fixture(scope="module")
def ascent(reference_landing):
    return engines.scan_engines(reference_landing, "ascent_stage", workers=1)


def test_where_engines_are(reference_landing):
    """Main engines from the pad up; thrusters are no trade."""
    found = engines.mounts(reference_landing)
    assert found[:3] == [FIRST, SECOND, TRANSFER]
    assert found[-1] == SHIP
    assert engines.mounts(reference_landing, "ascent_stage") == [ASCENT]


@pytest.mark.parametrize(
    ("element", "said"),
    [
        (
            "lander_bay",
            'found "lander_bay", no element with a main engine; accepted: "first_stage"',
        ),
        ("ascent_stge", 'no element with a main engine; did you mean "ascent_stage"'),
    ],
)
def test_no_engine_there(reference_landing, element, said):
    with pytest.raises(ScenarioError, match=said):
        engines.scan_engines(reference_landing, element)


COUNTS = {
    "a lift-off, by thrust at sea level: 29.88 MN at 2.37 MN is 12.6": (
        FIRST,
        "Kerosene-4",
        [12, 13, 14],
    ),
    "29.88 at 3.83 is 7.8": (FIRST, "Kerosene-6", [7, 8, 9]),
    "itself, one more and one less": (FIRST, "Kerosene-9", [5, 6, 7]),
    "the nearest where none is like: 0.5 of 980 kN would do": (TRANSFER, "Hydrogen-18", [1]),
    "in vacuum: 980 at 180 is 5.4": (TRANSFER, "Hydrogen-1R", [5, 6]),
    "5400 at 180 is 30, more than fit": (SECOND, "Hydrogen-1R", []),
    "more than twice 16 kN": (ASCENT, "Storable-45", []),
}


@pytest.mark.parametrize(("mount", "name", "expected"), COUNTS.values(), ids=COUNTS)
def test_counts_of_a_like_thrust(reference_landing, listed, mount, name, expected):
    old = reference_landing.elements[mount.element].engines[mount.engine]
    assert swap.counts(old, listed[name].engine) == expected


def test_what_fits(reference_landing, listed):
    """Propellants decide; what lifts off must state its thrust at sea level; others need not."""
    fitting = {
        mount: {
            name
            for name, each in listed.items()
            if swap.fits(reference_landing, *mount, each.engine)
        }
        for mount in (FIRST, SECOND, ASCENT)
    }
    assert fitting[FIRST] == {"Kerosene-4", "Kerosene-9", "Kerosene-12", "Kerosene-6"}
    assert fitting[SECOND] == {
        "Hydrogen-5",
        "Hydrogen-3",
        "Hydrogen-2R",
        "Hydrogen-18",
        "Hydrogen-1R",
    }
    assert "Storable-50U" not in fitting[ASCENT]  # burns UDMH, the tanks hold MMH


def test_what_is_there_comes_first(ascent, landing_plan):
    """The first row is the plan itself."""
    now, *others = ascent
    assert now.planned
    assert not any(each.planned for each in others)
    assert now.change == "1 x Storable-16"
    assert landing_plan.verdict == f"Reference Landing {now.outcome}"
    assert now.tightest_margin == landing_plan.tightest.margin
    assert (now.dry_mass, now.height) == (0.0, 0.0)
    assert [each.change for each in others] == ["1 x Storable-20P", "1 x Storable-30"]


def test_a_trade_is_what_flying_it_gives(reference_landing, listed):
    """Five small hydrogen engines in the transfer stage, written out by hand and flown."""
    trade = engines.fly_trade(reference_landing, TRANSFER, listed["Hydrogen-1R"], 5)
    by_hand = {
        "label": "Hydrogen-1R",
        "count": 5,
        "thrust_vacuum": "180 kN",
        "isp_vacuum": "461 s",
        "starts": 6,
        "qualified_duration": "1200 s",
        "longest_burn": "700 s",
        "restart_interval": "15 min",
        "mixture_ratio": 5.8,
        "gimbal": "5 deg",
        "length": "2.7 m",
        "exit_diameter": "1.6 m",
    }
    changes = {f"elements.transfer_stage.engines.main.{key}": x for key, x in by_hand.items()}
    # five of 330 kg for one of 1600 kg
    changes["elements.transfer_stage.dry_mass"] = f"{11500 + 5 * 330 - 1600} kg"
    plan = mplan.fly(reference_landing.change(changes))
    flown = [each for each in plan.burns if each.element == "transfer_stage"]
    assert [each.margin for each in trade.served] == [each.margin for each in flown]
    assert [each.available for each in trade.served] == [each.available for each in flown]
    assert trade.tightest_margin == plan.tightest.margin
    assert plan.verdict.endswith(trade.outcome)
    assert trade.dry_mass == pytest.approx(50.0)
    height = on_pad(plan.scenario).height - on_pad(reference_landing).height
    assert trade.height == height == pytest.approx(2.7 - 3.8)
    assert trade.delivery_time == 34 * 30.4375 * 86400.0
    assert trade.cost == 150.0 + 5 * 8.0  # nonrecurring, and five units


def test_keys_that_the_new_engine_lacks_are_gone(reference_landing, listed):
    """Nothing of the old engine's rating stays behind; what is the element's stays."""
    key = "elements.transfer_stage.engines.main.lever_arm"
    before = reference_landing.change(key, "1.5 m")
    after = swap.swapped(before, *TRANSFER, listed["Hydrogen-5"], 1)
    engine = after.elements["transfer_stage"].engines["main"]
    assert before.elements["transfer_stage"].engines["main"].restart_interval is not None
    assert engine.restart_interval is None
    assert (engine.lever_arm, engine.fuel, engine.oxidiser) == (1.5, "hydrogen", "oxygen")
    assert reference_landing.elements["descent_stage"].engines["main"].throttle_min is not None
    descent = swap.swapped(reference_landing, "descent_stage", "main", listed["Storable-90"], 1)
    assert descent.elements["descent_stage"].engines["main"].throttle_min is None


def test_masses_that_are_not_stated_change_nothing(reference_landing, listed):
    before = reference_landing.change("elements.ascent_stage.engines.main.mass", None)
    after = swap.swapped(before, *ASCENT, listed["Storable-30"], 1)
    assert after.elements["ascent_stage"].dry_mass == before.elements["ascent_stage"].dry_mass
    assert engines.fly_trade(before, ASCENT, listed["Storable-30"], 1).dry_mass is None


def test_what_the_mixture_leaves(reference_landing, listed):
    """At 2.6 to 1, 1230 t of oxygen take 473 t of the 492 t of kerosene, less residuals."""
    after = swap.swapped(reference_landing, *FIRST, listed["Kerosene-6"], 8)
    engine = after.elements["first_stage"].engines["lift"]
    usable = 1.0 - reference_landing.margins.residuals
    expected = (492e3 - 1230e3 / 2.6) * usable
    assert swap.left_by_mixture(after, "first_stage", engine) == pytest.approx(expected)


def test_a_stage_that_burns_out_is_told_by_the_one_above(reference_landing, listed, landing_plan):
    """What one engine fewer in the second stage does shows at the end of the transfer stage."""
    trade = engines.fly_trade(reference_landing, SECOND, listed["Hydrogen-5"], 4)
    assert [each.margin for each in trade.served] == [None]
    (injection,) = [x for x in landing_plan.burns if x.leg == "translunar injection"]
    assert trade.above.burn == injection.name
    after = swap.swapped(reference_landing, *SECOND, listed["Hydrogen-5"], 4)
    (then,) = [x for x in mplan.fly(after).burns if x.leg == "translunar injection"]
    assert trade.above.margin == then.margin != injection.margin


def test_what_cannot_be_flown_says_so(reference_landing, listed):
    """A nozzle shorter than what it is nested in; no figure of a flight is made up."""
    trade = engines.fly_trade(reference_landing, SHIP, listed["Storable-16"], 5)
    assert trade.closes is trade.tightest_margin is trade.lift_off is trade.height is None
    assert trade.served == ()
    assert trade.outcome.startswith(
        'not flown: elements.service_module.build.nested: found "1.6 m"; accepted: at most'
    )


def test_an_engine_that_comes_too_late(reference_landing, listed):
    """Thirty mean months are 913 d; the one that is there takes twelve."""
    before = reference_landing.change("dates.decision_day", "2029-01-25")  # 850 d before the launch
    assert engines.fly_trade(before, ASCENT, None, 1).late == ""
    late = engines.fly_trade(before, ASCENT, listed["Storable-20P"], 1)
    assert late.late == "Storable-20P of ascent stage is delivered 63 d after the launch day"
    assert late.closes


def test_workers_change_nothing(reference_landing, ascent):
    """Two processes give the same numbers in the same order as none."""
    assert engines.scan_engines(reference_landing, "ascent_stage", workers=2) == ascent


def test_progress_and_stop(reference_landing, ascent):
    """Each flight is counted, and what is flown when it is stopped is kept."""
    told = []
    found = engines.scan_engines(
        reference_landing,
        "ascent_stage",
        workers=1,
        done=lambda done, total: told.append((done, total)),
        stopped=lambda: len(told) == 2,
    )
    assert told == [(1, 3), (2, 3)]
    assert found == ascent[:2]


def test_the_document(reference_landing, ascent):
    """Every figure with its unit in its name; the count and the rows as flown."""
    document = engine_trades.document(reference_landing, ascent)
    assert document["format"] == "mplan-engines/2"
    assert [each["name"] for each in document["trades"]] == [
        "Storable-16",
        "Storable-20P",
        "Storable-30",
    ]
    first = document["trades"][0]
    assert first["planned"] is first["closes"] is True
    assert first["delivery_time_d"] == pytest.approx(12 * 30.4375)
    assert first["development_status"] == "flown"
    costs = [first[f"{x}_millions"] for x in ("nonrecurring_cost", "unit_cost", "cost")]
    assert costs[2] == costs[0] + first["count"] * costs[1]
    assert first["burns"][0]["margin_m_s"] == ascent[0].served[0].margin


def test_a_cost_that_is_half_stated_is_not_told(ascent):
    """Without its unit cost an engine has no total, not a smaller one."""
    assert ascent[1].cost > 85.0
    assert replace(ascent[1], unit_cost=None).cost is None
    assert replace(ascent[1], nonrecurring_cost=None).cost is None


def test_the_table(ascent):
    """One row a trade, in order; margins under their burns."""
    frame = engine_trades.frame(ascent)
    assert list(frame["engines"]) == [
        "1 x Storable-16 (as planned)",
        "1 x Storable-20P",
        "1 x Storable-30",
    ]
    burn = ascent[0].served[0]
    assert frame[f"{burn.burn}, margin [m/s]"][0] == round(burn.margin)
    assert list(frame["delivery time [months]"]) == [12.0, 30.0, 18.0]
