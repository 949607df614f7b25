"""What was seen: photographs, the look-over, findings."""
