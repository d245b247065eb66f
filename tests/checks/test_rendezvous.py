"""Findings on the rendezvous: each names its limit and what was found, and is silent otherwise."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.checks import engines, rendezvous
from mplan.flight.record import IN_CONTACT


def found(plan: mplan.Plan, check: str) -> list:
    return [x for x in rendezvous.findings(plan.flight) if x.check == check]


def with_rendezvous(plan: mplan.Plan, **changes: object) -> list:
    """Findings on the demo's flight with another rendezvous behind it."""
    end = plan.flight.end
    other = replace(end, rendezvous=replace(end.rendezvous, **changes))
    passages = plan.flight.passages
    changed = (*passages[:-1], replace(passages[-1], after=other))
    return list(rendezvous.findings(replace(plan.flight, passages=changed)))


def test_the_demo_meets_its_ship(landing_plan):
    """Nothing of the rendezvous stops the demo."""
    assert [x for x in rendezvous.findings(landing_plan.flight) if x.rank == 0] == []


def test_no_landing_no_findings(orbital_plan):
    """A mission without a rendezvous is not asked."""
    assert list(rendezvous.findings(orbital_plan.flight)) == []


def test_a_phase_that_does_not_fit(reference_landing):
    """Where the ship is and where it should be, and why the schedule fails."""
    plan = mplan.fly(reference_landing.change("lunar_ascent.after_pass", "-4 min"))
    (finding,) = found(plan, "rendezvous")
    assert finding.severity == "stops the flight"
    assert finding.text.startswith(
        "the coelliptic rendezvous does not fit the ship's position at insertion: it has passed"
    )
    assert finding.limit == "the ship 17.3 deg ahead at insertion"
    assert not plan.closes


def test_remedies_for_the_phase_are_flown(reference_landing):
    """The lift-off that the schedule wants helps; the other schedule meets at a price."""
    early = reference_landing.change("lunar_ascent.after_pass", "-4 min")
    finding = mplan.fly(early, remedies=True).findings[0]
    assert finding.check == "rendezvous"
    timed, direct = finding.remedies
    assert (timed.change, timed.closes) == ("lift-off at the time the rendezvous requires", True)
    assert direct.change == "a direct rendezvous"


def test_an_orbit_into_the_hills(reference_landing):
    """The insertion orbit over high ground is too low by the lander's own margin."""
    plan = mplan.fly(
        reference_landing.change(
            {"orbits.ascent_perilune": "12 km", "landing_site.elevation": "7.5 km"}
        )
    )
    (finding,) = found(plan, "terrain")
    assert finding.severity == "stops the flight"
    assert (finding.limit, finding.found) == ("5.0 km at least", "4.5 km")


def test_burns_out_of_contact_are_told(landing_plan):
    """The terminal phase's beginning behind the Moon is information; in contact it is none."""
    flown = landing_plan.flight.end.rendezvous
    seen = tuple(burn._replace(contact=IN_CONTACT) for burn in flown.burns)
    assert [x for x in with_rendezvous(landing_plan, burns=seen) if x.check == "contact"] == []
    behind = tuple(burn._replace(contact="behind the Moon") for burn in flown.burns)
    (finding,) = (x for x in with_rendezvous(landing_plan, burns=behind) if x.check == "contact")
    assert finding.severity == "for information"
    assert finding.text == "terminal phase initiation is behind the Moon, out of contact"


def test_the_main_engine_is_not_good_for_so_many_burns(reference_landing):
    """Seven burns after the ascent are more than the three that its engine is qualified for."""
    index = next(
        i for i, x in enumerate(reference_landing.events) if getattr(x, "leg", "") == "rendezvous"
    )
    plan = mplan.fly(reference_landing.change(f"events.{index}.engine", "main"))
    (finding,) = (x for x in engines.findings(plan.flight) if x.check == "starts")
    assert finding.severity == "stops the flight"
    assert (finding.limit, finding.found) == ("3 starts at most", "8")
    assert "Storable-16 of ascent stage is started 8 times" in finding.text


def test_no_rendezvous_at_all(reference_landing):
    """Gates that no approach passes leave nothing to fly; the burn says why, and stops it."""
    gates = [{"range": "5 km", "speed": "0.3 m/s"}]
    plan = mplan.fly(reference_landing.change("rendezvous.braking_gates", gates))
    assert plan.flight.end.rendezvous is None
    assert list(rendezvous.findings(plan.flight)) == []
    assert plan.findings[0].text.startswith("rendezvous cannot be flown: it drifts off before")


@pytest.mark.parametrize(("usable", "severity"), [(4100.0, "needs a decision"), (6000.0, None)])
def test_a_rescue_that_leaves_too_little(landing_plan, usable, severity):
    """With less in the ship's tanks it lacks the way home; with more, the check is silent."""
    host = landing_plan.flight.end.rendezvous.host._replace(usable=usable)
    found = [x for x in with_rendezvous(landing_plan, host=host) if x.check == "rescue"]
    assert [x.severity for x in found] == ([severity] if severity else [])
    if found:
        assert (
            "cannot rescue an ascent stage left in its insertion orbit: it lacks" in found[0].text
        )


def test_a_rescue_out_of_margins(reference_landing, landing_plan):
    """With less aboard, what the way home needs is there, but not all that is reserved."""
    assert found(landing_plan, "rescue") == []
    tanks = "elements.service_module.tanks"
    less = mplan.fly(
        reference_landing.change({f"{tanks}.MMH.load": "5.45 t", f"{tanks}.NTO.load": "9.81 t"}),
        like=landing_plan,
    )
    (finding,) = found(less, "rescue")
    assert finding.severity == "for information"
    assert finding.text.startswith("rescue of an ascent stage left in its insertion orbit draws")
    assert finding.text.endswith("m/s from the ship's reserve")


def test_no_rescue_is_possible(landing_plan):
    """A ship on the other side of the Moon is told to have no schedule."""
    meeting = landing_plan.flight.end.rendezvous.meeting
    far = meeting.target._replace(r=-meeting.target.r, v=-meeting.target.v)
    found = with_rendezvous(landing_plan, meeting=replace(meeting, target=far))
    (finding,) = (x for x in found if x.check == "rescue")
    assert finding.severity == "needs a decision"
    assert finding.text.endswith("no schedule reaches it")
