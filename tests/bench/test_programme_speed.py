"""Twenty missions over ten elements, two pads, four crews: how long a calendar takes.

The search stops after a set amount of work, whatever the machine; what is left to prove is told.
"""

import pytest

from mplan.programme import load_programme, plan_programme
from tests.programme.conftest import MISSIONS, many

pytestmark = pytest.mark.benchmark(group="a programme of twenty missions")


def test_twenty_missions(benchmark, tmp_path):
    file = tmp_path / "programme.toml"
    text = many(20, 1).replace("orbit_and_return.toml", f"{MISSIONS}/orbit_and_return.toml")
    file.write_text(text, "utf-8")
    programme = load_programme(file)
    calendar = benchmark.pedantic(
        plan_programme, (programme,), {"remedies": False}, rounds=3, warmup_rounds=1
    )
    assert sum(task.kind == "flight" for task in calendar.tasks) == 20
