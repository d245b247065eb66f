"""Do relays about the Moon stay up as long as the mission lasts?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mplan.checks.contact.watchers import every_watcher
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, MINUTE
from mplan.scenario.figures import at_least

EVERY = 5.0 * MINUTE  # s between looks: a craft near the ground goes some 500 km


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each relay that comes down on the Moon meanwhile."""
    for each in every_watcher(flight):
        if each.is_relay:
            count = max(2, int(flight.duration / EVERY))
            elapsed = np.linspace(0.0, flight.duration, count)
            down = np.isnan(each.places(flight.end.lift_off + elapsed)[:, 0])
            if down.any():
                lasts = float(elapsed[np.argmax(down)]) / DAY
                text = f"the relay {each.name} comes down on the Moon within the mission"
                figures = at_least(flight.duration / DAY, lasts, "d")
                basis = "its orbit as stated in [relays], flown under the Moon, Earth and Sun"
                yield Finding("needs a decision", "contact", each.name, text, figures, basis)
