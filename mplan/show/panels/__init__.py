"""What every panel is made of: sliders, boxes, the flight at each move, work that takes longer."""

__all__ = ["board", "controls", "in_cell", "knobs", "long_run", "panel", "stand_in"]
