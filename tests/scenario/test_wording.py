"""How labels are put into sentences."""

from __future__ import annotations

import pytest

from mplan.scenario.wording import verb

ONE = ("core stage", "booster pair", "truss", "star bus", "chassis")
MANY = ("crew boosters", "drop_tanks")


@pytest.mark.parametrize(("labels", "form"), [(ONE, "comes"), (MANY, "come")])
def test_a_verb_agrees_with_its_label(labels, form):
    assert {verb(label, "comes", "come") for label in labels} == {form}
