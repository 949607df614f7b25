"""What a round of readings in several positions says."""
