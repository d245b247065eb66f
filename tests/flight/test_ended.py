"""A flight that ends before its splash: what it has, and that nothing after it is told."""

from __future__ import annotations

import io
from dataclasses import replace

import jsonschema
import pytest

import mplan
from mplan import checks, contract
from mplan.flight import ended, walk
from mplan.flight.record import Ended, Flight
from mplan.flight.state import NotYet
from mplan.flight.unflyable import Unflyable
from mplan.plan import Plan
from mplan.show.terminal import print_brief


def dry(scenario: mplan.Scenario) -> Plan:
    """Return the plan of a climb whose last stage runs dry."""
    return mplan.fly(scenario.change("elements.lander_bay.dry_mass", "110 t"), remedies=True)


def not_flown(scenario: mplan.Scenario) -> Plan:
    """Return the plan of a scenario of which nothing was flown."""
    flight = Flight(scenario, walk.on_pad(scenario), (), ended=Ended("no order", "land", 3))
    return Plan(flight, checks.of(flight))


@pytest.fixture(params=[dry, not_flown])
def partial(request, reference_landing) -> Plan:
    """A plan whose flight ends early."""
    return request.param(reference_landing)


def test_it_does_not_close(partial):
    """Whatever its findings are, the crew does not come home."""
    assert not partial.closes
    assert not partial.complete
    assert "does not close" in partial.verdict


def test_it_has_no_date(partial):
    """The date of lift-off follows from the way to the Moon, which is not flown."""
    assert not partial.flight.dated
    with pytest.raises(NotYet):
        partial.flight.utc(0.0)


def test_its_document_obeys_the_schema(partial):
    """What was not flown is null or absent."""
    document = contract.document(partial)
    jsonschema.validate(document, contract.schema())
    assert document["ended"]["text"] == partial.flight.ended.text
    assert document["trajectory"]["perilune"] is None
    assert document["supplies"] == []
    assert {burn["leg"] for burn in document["burns"]} <= {"climb"}


def test_its_brief_is_printed(partial):
    """It begins with why the flight ends."""
    page = io.StringIO()
    print_brief(partial, page)
    assert "does not close" in page.getvalue().splitlines()[0]


def test_nothing_is_asked_of_what_was_not_flown(partial):
    """No finding speaks of supplies, the landing or the way home."""
    home = {"supplies", "landing", "light", "entry", "recovery", "duration", "power", "rescue"}
    assert not home & {finding.check for finding in partial.findings}


def test_nothing_flown_has_no_length(reference_landing):
    """Times and burns of a flight that never begins."""
    plan = not_flown(reference_landing)
    assert plan.flight.duration == 0.0
    assert plan.tightest is None
    assert plan.flight.climb is None
    assert plan.flight.end.elapsed == 0.0


def test_a_climb_that_falls_tells_why(reference_landing):
    """What it would require, once its path has led through Earth, says nothing."""
    flight = dry(reference_landing).flight
    last = flight.passages[-1]
    assert not last.after.launched.climb.reached
    absurd = replace(last, burn=replace(last.burn, impulse=1e12))
    with pytest.raises(Unflyable, match=r"leads nowhere: .+; accepted: stages that reach"):
        ended.require_sound((absurd,), len(flight.passages) - 1)
