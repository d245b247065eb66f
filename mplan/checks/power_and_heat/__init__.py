"""Electric energy and heat along the flight: state of charge, loads by phase, radiators."""

from mplan.checks.power_and_heat.charge import ChargeCurve, charge_curves
from mplan.checks.power_and_heat.findings import findings
from mplan.checks.power_and_heat.heat import HeatBalance, heat_balances, without_radiators
from mplan.checks.power_and_heat.loads import LoadRow, load_rows

__all__ = [
    "ChargeCurve",
    "HeatBalance",
    "LoadRow",
    "charge_curves",
    "findings",
    "heat_balances",
    "load_rows",
    "without_radiators",
]
