"""Do thrusters have the propellant for attitude, docking and housekeeping, and its reserve?"""

from mplan.checks.thrusters.accounts import BURNS, SETTLING, TankAccount, accounts
from mplan.checks.thrusters.judged import findings

__all__ = ["BURNS", "SETTLING", "TankAccount", "accounts", "findings"]
