"""Living aboard, drawn along the flight as time passes."""
