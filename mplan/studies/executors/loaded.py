"""Brought in by the server whose copies fly: whatever any of them would load for itself.

Nothing here starts a thread: a copy would have it half.
"""

from __future__ import annotations

import gc

import mplan.plan
import mplan.studies.odds
import mplan.studies.trades
import mplan.studies.ways_out
import mplan.studies.windows  # noqa: F401
from mplan.physics import compiling
from mplan.physics.arcs import nbody, thrust_arc

compiling.load_kept()
nbody.load_integrators()
thrust_arc.load_burn_integrator()
gc.collect()
gc.freeze()  # collections of a copy leave alone, and so do not copy, what all of them share
