"""What every picture is made of: colours, figures, stills, strokes, bars."""
