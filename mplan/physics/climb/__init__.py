"""The climb from the pad to the parking orbit, and the escape from it."""
