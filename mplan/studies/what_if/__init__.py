"""What if the file said something else: changes of a plan's scenario, each flown."""

from mplan.studies.what_if.flights import ChangedFlight, Changes, changed, fly_changes

__all__ = ["ChangedFlight", "Changes", "changed", "fly_changes"]
