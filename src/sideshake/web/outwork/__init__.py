"""What goes out to others, and jewel orders."""
