"""Coasts between burns, from the parking orbit to the Moon and home."""
