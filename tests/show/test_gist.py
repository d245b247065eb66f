"""The pad line of a brief."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from mplan.show.gist import lines
from mplan.vehicle.stack import on_pad

PAD = "launch_site.pad"


def told(plan, **changes):
    """Return the pad line of a plan, with values of its pad changed."""
    changed = plan.scenario.change({f"{PAD}.{key}": x for key, x in changes.items()})
    again = SimpleNamespace(scenario=changed, flight=plan.flight, burns=plan.burns)
    return next(x for x in lines(again) if x.startswith("on the pad"))


def test_a_limit_just_passed_is_not_rounded_away(landing_plan):
    """A tenth of a millimetre too tall for the door is told apart from the door."""
    height = on_pad(landing_plan.scenario).height
    said = told(landing_plan, door_height=f"{height - 1e-4} m", hook_height=None)
    tall = said.split(", ")[-2]
    size, limit = tall.split(" m tall (door ")
    assert float(size) > float(limit.removesuffix(" m)"))
    assert float(size) == pytest.approx(height, abs=1e-4)


def test_posts_are_told_where_they_count(landing_plan):
    """The door stands over the posts as well, the crane does not."""
    heights = {"door_height": "120 m", "hook_height": "130 m"}
    tall = on_pad(landing_plan.scenario).height
    said = told(landing_plan, post_height="2 m", **heights)
    assert f"{tall:.1f} m tall (crane 130.0 m)" in said
    assert f"{tall + 2.0:.1f} m on its posts (door 120.0 m)" in said
    said = told(landing_plan, post_height=None, **heights)
    assert f"{tall:.1f} m tall (door 120.0 m, crane 130.0 m)" in said


def test_what_is_not_stated_is_not_told(landing_plan):
    """A size without a limit stands alone."""
    said = told(landing_plan, door_height=None, hook_height=None)
    assert "m tall, " in said
