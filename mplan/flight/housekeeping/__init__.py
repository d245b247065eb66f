"""What thrusters draw beside burns: turns, attitude held, dockings, separations.

Drawn from their tanks as it happens, by the scenario's [thruster_budget]; without it, nothing is.
"""
