"""What every picture is made of: colours, figures, stills, strokes, bars."""

__all__ = [
    "dark",
    "figure",
    "in_lab",
    "live",
    "outlines",
    "palette",
    "reference",
    "rows",
    "scripts",
    "strokes",
]
