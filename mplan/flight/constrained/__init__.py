"""The arc to the Moon constrained: a free return, or a hybrid that leaves one on the way."""
