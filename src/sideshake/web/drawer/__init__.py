"""What is in stock."""
