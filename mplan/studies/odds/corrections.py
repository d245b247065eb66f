"""Midcourse corrections of one mission: as large as errors of the burns before them ask for.

Errors are those of [errors]: of the burn that begins an arc, of each correction as flown, and of
what is known of the state when it is made. They are carried along the planned arc to first order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from mplan.flight import midcourse
from mplan.flight.record import Flight, Passage
from mplan.physics.arcs.dispersion import (
    CorrectionStep,
    Execution,
    InjectionErrors,
    correction_steps,
    injection_spread,
)
from mplan.scenario.stated import stated

OUTBOUND, HOMEWARD = "outbound correction", "homeward correction"
INJECTION = ("speed", "direction in the plane", "direction out of the plane", "time")
EXECUTION = ("direction, one axis", "direction, another axis", "direction, third axis", "size")
KNOWN = tuple(f"{what} known along {axis}" for what in ("position", "velocity") for axis in "xyz")


@dataclass(frozen=True)
class Chain:
    """The corrections of one arc: of which burn's errors, and what each of them does.

    `burn` is the index of the event whose errors they take out, None where the arc begins without a
    burn; `events` are those of the corrections;
    `spread` (6, 4) what one standard deviation of that burn's errors is. `known` (6,) is how well a
    state is known, one standard deviation each. `titles` name the normal numbers that are drawn:
    the burn's, then those of each correction; only such as matter (`places`).
    """

    burn: int | None
    events: tuple[int, ...]
    steps: tuple[CorrectionStep, ...]
    spread: np.ndarray
    speed: float
    execution: Execution
    known: np.ndarray
    titles: tuple[str, ...]
    places: tuple[int, ...]

    def sizes(self, numbers: Sequence[float]) -> tuple[float, list[float]]:
        """Return what the burn gives too much [m/s], and the sizes [m/s] of the corrections."""
        full = np.zeros(len(INJECTION) + len(self.events) * _EACH)
        full[list(self.places)] = numbers
        errors = (self.spread @ full[:4])[:, None]
        rest = full[4:].reshape(len(self.events), _EACH)
        sizes = []
        for step, own in zip(self.steps, rest, strict=True):
            unknown = (self.known * own[4:])[:, None]
            required, errors = step.corrected(errors, unknown, self.execution, own[:4, None])
            sizes.append(float(np.linalg.norm(required)))
        return self.speed * float(full[0]), sizes


_EACH = len(EXECUTION) + len(KNOWN)


def of(flight: Flight) -> tuple[Chain, ...]:
    """Return the corrections of a flight, arc by arc; none where the scenario has no [errors]."""
    return tuple(_chains(flight)) if flight.scenario.errors is not None else ()


def _chains(flight: Flight) -> Iterator[Chain]:
    arcs: dict[float, list[int]] = {}  # corrections by the beginning of the arc that they are on
    for index, passage in enumerate(flight.passages):
        if passage.burn is not None and passage.burn.leg in (OUTBOUND, HOMEWARD):
            arcs.setdefault(_start(passage)[2], []).append(index)
    for events in arcs.values():
        yield _chain(flight, tuple(events))


def _start(passage: Passage) -> midcourse.Start:
    burn = stated(passage.burn, "burn")
    outbound = burn.leg == OUTBOUND
    return (midcourse.outbound_start if outbound else midcourse.homeward_start)(passage.before)


def _chain(flight: Flight, events: tuple[int, ...]) -> Chain:
    passages, errors = flight.passages, stated(flight.scenario.errors, "[errors]")
    r, v, t, duration = _start(passages[events[0]])
    times = [passages[i].before.t - t for i in events]
    burn, begins = _burn_before(flight, events[0])
    injection = InjectionErrors(errors.speed, errors.direction, errors.time)
    known = np.repeat([errors.position_known, errors.speed_known], 3)
    execution = Execution(errors.correction_size, errors.correction_direction)
    titles = [f"{x} after {begins}" for x in INJECTION]
    matters = [errors.speed, errors.direction, errors.direction, errors.time]
    for i in events:
        titles += [f"{x} at {passages[i].moment.event}" for x in (*EXECUTION, *KNOWN)]
        matters += [execution.direction] * 3 + [execution.size, *known.tolist()]
    places = tuple(i for i, size in enumerate(matters) if size > 0.0)
    return Chain(
        burn=burn,
        events=events,
        steps=tuple(correction_steps(r, v, t, duration, times)),
        spread=injection_spread(r, v, t, injection),
        speed=errors.speed,
        execution=execution,
        known=known,
        titles=tuple(titles[i] for i in places),
        places=places,
    )


def _burn_before(flight: Flight, event: int) -> tuple[int | None, str]:
    """Return the burn that begins the arc of a correction, and what it begins with in words.

    Round the Moon on a free return no burn does.
    """
    legs = {i: x.burn.leg for i, x in enumerate(flight.passages[:event]) if x.burn}
    last = max(i for i, leg in legs.items() if leg not in (OUTBOUND, HOMEWARD))
    corrected = any(leg == OUTBOUND for i, leg in legs.items() if i > last)
    if flight.passages[event].burn_event.leg == HOMEWARD and corrected:
        return None, "perilune"
    return last, flight.passages[last].moment.event
