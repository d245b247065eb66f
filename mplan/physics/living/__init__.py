"""What people take and give off, and the chemistry of their air."""

__all__ = ["belts", "carbon_dioxide", "chemistry", "dose_rates", "radiator"]
