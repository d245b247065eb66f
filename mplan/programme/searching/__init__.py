"""The days of all launches: orders tried, a constraint model solved, and what is left to save."""
