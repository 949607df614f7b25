"""What was removed, and the way back."""
