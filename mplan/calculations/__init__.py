"""Calculations from what is given, one call each, without a scenario or a mission around them.

Arguments are quantities with their unit, "185 km"; states are SI arrays. Results are SI floats and
read-only arrays. What is refused raises an `ArgumentError` that names it.
"""
