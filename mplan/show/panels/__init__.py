"""What every panel is made of: sliders, boxes, and the flight at each move."""

__all__ = ["controls", "knobs", "panel"]
