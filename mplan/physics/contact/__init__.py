"""Contact: whether a ground station sees a craft.

Figures are a planning study's: masks of real horizons, weather and interference are not known here.
"""

__all__ = ["ground_stations", "link", "sightings"]
