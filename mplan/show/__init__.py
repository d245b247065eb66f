"""Tables, charts and panels of a plan: no arithmetic beyond display."""
