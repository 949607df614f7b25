"""Hours of the day as they stand on an owner's paper; the one place that says how."""

from sideshake.movement.calendar import hand_time

hour_words = hand_time
"""Return an hour of the day, 0 to 24, in words an owner understands."""
