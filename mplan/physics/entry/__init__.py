"""Entry into the air, its heating, and the parachutes."""
