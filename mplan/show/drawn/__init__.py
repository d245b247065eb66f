"""What every picture is made of: colours, figures, stills, strokes, bars."""

__all__ = [
    "dark",
    "figure",
    "in_lab",
    "live",
    "outlines",
    "over_days",
    "palette",
    "reference",
    "rows",
    "scripts",
    "strokes",
]
