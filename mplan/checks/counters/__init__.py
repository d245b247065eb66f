"""What a mission counts, ship by ship: starts, thruster propellant, dockings, crew, jettisons.

An element is counted with the ship that lifted it off, whichever ship it flies with later. Times
are on the clock of the ship with the crew.
"""

from mplan.checks.counters.sheet import CounterSheet, of, owner

__all__ = ["CounterSheet", "of", "owner"]
