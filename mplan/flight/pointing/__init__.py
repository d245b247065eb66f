"""Which way burns point: attitudes of thrust, and speeds at ignition and cut-off."""

from mplan.flight.pointing.attitude import ThrustDirection
from mplan.flight.pointing.burns import PointedBurn, of

__all__ = ["PointedBurn", "ThrustDirection", "of"]
