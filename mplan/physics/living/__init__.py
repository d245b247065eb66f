"""What people take and give off, and the chemistry of their air."""

__all__ = ["carbon_dioxide", "chemistry", "radiator"]
