"""What people live on along the flight: curves, activities, the cabin's air, time that is kept."""

from mplan.checks.living.activities import Activity, activities
from mplan.checks.living.air import Co2Curve, co2_curves
from mplan.checks.living.findings import findings
from mplan.checks.living.outlook import Outlook, contingency, first_out, outlooks
from mplan.checks.living.supply_curves import SupplyCurve, supply_curves

__all__ = [
    "Activity",
    "Co2Curve",
    "Outlook",
    "SupplyCurve",
    "activities",
    "co2_curves",
    "contingency",
    "findings",
    "first_out",
    "outlooks",
    "supply_curves",
]
