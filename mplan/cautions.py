"""What every output says beside its numbers, whatever its form."""

from __future__ import annotations

CAUTIONS = (
    "A planning study, not flight approval.",
    "Propellants, pressure vessels and their handling: local codes and licensed practice decide.",
    "Launch and its range safety: the range authority decides.",
    "Landing on the Moon, its aborts and the way back to orbit: figures here are for comparing "
    "plans, no guidance design; the crew's lives rest on qualified analysis and flight rules.",
    "Entry, parachutes and crew life support: figures here are for comparing plans; people's "
    "lives rest on qualified analysis, test and licensed practice.",
)
