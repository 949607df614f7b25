"""What can be computed of a balance and its hairspring."""
