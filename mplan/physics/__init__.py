"""Pure functions of SI floats and arrays. Knows no scenario, reads no file but the ephemeris."""
