"""What every picture is made of: colours, figures, stills, strokes, bars."""

__all__ = ["figure", "live", "outlines", "palette", "reference", "rows", "strokes"]
