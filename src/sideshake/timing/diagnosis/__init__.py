"""What is likely behind a round's figures."""
