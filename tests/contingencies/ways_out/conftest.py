"""Ways out that are made up, so that what is made of them can be checked by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.cells import STEPS
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut

Closed = Callable[[CabinPoint, FailureName], str]


@pytest.fixture
def made_up(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Let one way, home in an hour, lead out of every stretch but where a function closes it."""

    def install(closed: Closed, stretches: tuple[str, ...] = tuple(STEPS)) -> None:
        def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
            burn = WayBurn("burn", "x", "y", point.elapsed, 100.0, 150.0)
            yield WayOut(
                "the way",
                point.elapsed,
                point.craft,
                (burn,),
                home=point.elapsed + 3600.0,
                closed=closed(point, failure),
            )

        monkeypatch.setattr(every, "BY_STRETCH", dict.fromkeys(stretches, ways))
        monkeypatch.setattr(every, "WITH_SHELTER", {})
        monkeypatch.setattr(every, "IN_LESS_TIME", {})

    return install
