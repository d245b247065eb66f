"""What would bring a lander down, and up again: propellant, engines, orbits, guidance."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks import landing as check
from mplan.checks.finding import Finding
from mplan.checks.remedies import swaps
from mplan.checks.remedies.kinds.delta_v import lighter, of_propellant
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import first, least, sign, steps, told
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.constants import DEG, HOUR
from mplan.scenario import heights
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import thrust


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end a finding on the landing."""
    basis = finding.basis
    if basis == check.PHYSICS:
        yield from _thrust(finding, flight)
    elif basis == "descent.terrain_margin":
        yield from _orbits(finding, flight)
    elif basis in (check.USABLE, check.RESERVE):
        yield from _propellant(finding, flight, trials, finding.subject[0])
        yield from lighter(flight.scenario)
        yield from _shorter_hover(flight)
    elif basis.startswith("descent.window_edge"):
        yield from _steeper(finding, flight)
    elif basis == "lunar_ascent.plane_limit":
        yield from _plane(flight)
    elif finding.severity == "needs a decision":
        yield from _aborts(finding, flight, trials)
    else:
        yield from _guidance(finding, flight)


def _thrust(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose engines that hold the weight, or that throttle down to it."""
    element, engine = finding.subject
    scenario = flight.scenario
    now = scenario.elements[element].engines[engine]
    if finding.limit.endswith("at most"):  # it cannot hover
        low = thrust(now) * (1.0 if now.throttle_min is None else now.throttle_min)
        yield from swaps.others(
            scenario,
            element,
            engine,
            lambda new: new.throttle_min is not None and thrust(new) * new.throttle_min < low,
            lambda new: thrust(new) * (new.throttle_min or 1.0),
        )
        if now.count > 1:
            yield swaps.one_more(scenario, element, engine, -1)
        yield from _throttled(finding, flight)
        return
    yield swaps.one_more(scenario, element, engine)
    yield from swaps.others(
        scenario, element, engine, lambda new: thrust(new) > thrust(now), thrust
    )


def _orbits(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose a perilune as high as the ground and the margin over it ask for."""
    scenario = flight.scenario
    clear = heights.ground(scenario) + scenario.descent.terrain_margin
    low = clear - heights.level(scenario)
    key = "descent_perilune" if finding.text.startswith("the descent") else "ascent_perilune"
    height = ceil(low / 100.0) / 10.0
    yield Proposal(
        f"{plain(key)} at {height:.1f} km above {heights.counted_from(scenario)}",
        {f"orbits.{key}": f"{height} km"},
    )


def _propellant(
    finding: Finding, flight: Flight, trials: Trials, element: str
) -> Iterator[Proposal]:
    """Propose the least propellant more in an element that ends the finding."""
    amount = of_propellant(flight.scenario, element)
    yield from least(
        flight, trials, amount, lambda after: sign(not told(finding, check.findings(after)))
    )


def _shorter_hover(flight: Flight) -> Iterator[Proposal]:
    hover = flight.scenario.descent.hover_time
    if hover > 5.0:
        yield Proposal("a hover of 5 s", {"descent.hover_time": "5 s"})


def _throttled(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose the deepest throttling of the same engine that hovering asks for."""
    element, engine = finding.subject
    key = f"elements.{element}.engines.{engine}.throttle_min"
    tried = (
        Proposal(
            f"the {plain(engine)} engine of the {plain(element)} made to throttle to {x:.0f} %",
            {key: f"{x:.0f} %"},
            "development of the throttle: not priced",
        )
        for x in steps(80.0, -5.0, 10.0)
    )
    yield from first(finding, flight, check, tried)


def _steeper(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose approaches on which the craft stands more upright or comes in steeper."""
    descent = flight.scenario.descent
    for share in (0.85, 0.7, 0.55):
        speed = share * descent.high_gate_speed
        said = f"a speed ahead of {speed:.0f} m/s at the high gate"
        yield Proposal(said, {"descent.high_gate_speed": f"{speed} m/s"})
    lower = (
        Proposal(
            f"a window that shows {edge:.0f} deg below the forward axis",
            {"descent.window_edge": f"{edge:.0f} deg"},
            "mass of the window: not counted",
        )
        for edge in steps(descent.window_edge / DEG + 1.0, 1.0, 90.0)
    )
    yield from first(finding, flight, check, lower)


def _plane(flight: Flight) -> Iterator[Proposal]:
    """Propose shorter stays, in which the site turns less far out of the ship's plane."""
    stay = flight.scenario.mission.surface_stay
    for share in (0.75, 0.5):
        hours = share * (stay or 0.0) / HOUR
        yield Proposal(f"a stay of {hours:.1f} h", {"mission.surface_stay": f"{hours} h"})
    if flight.scenario.lunar_ascent.plane == "flown out":
        values = {"lunar_ascent.plane": "left to the rendezvous"}
        yield Proposal("the plane left to the rendezvous", values)


def _aborts(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose propellant and engines for the ascent stage, and a quicker staging."""
    burn = flight.burn_of("lunar ascent")
    if burn is None:
        return
    yield from _propellant(finding, flight, trials, burn.element)
    yield swaps.one_more(flight.scenario, burn.element, burn.engine)
    if flight.scenario.descent.staging_time > 2.0:
        yield Proposal("staging within 2 s", {"descent.staging_time": "2 s"})


def _guidance(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose softer gates, and engines whose limits leave guidance more room."""
    element, engine = finding.subject
    scenario, descent = flight.scenario, flight.scenario.descent
    if finding.basis == "descent.touchdown_limit":
        slower = 0.8 * descent.touchdown_limit
        said = f"a touchdown at {slower:.1f} m/s"
        yield Proposal(said, {"descent.touchdown_speed": f"{slower} m/s"})
    for share in (1.25, 1.5):
        high = share * descent.high_gate_altitude
        said = f"a high gate at {high:.0f} m"
        yield Proposal(said, {"descent.high_gate_altitude": f"{high} m"})
    now = scenario.elements[element].engines[engine]
    yield swaps.one_more(scenario, element, engine)
    yield from swaps.others(
        scenario,
        element,
        engine,
        lambda new: new.throttle_min is not None,
        lambda new: abs(thrust(new) - thrust(now)),
    )
