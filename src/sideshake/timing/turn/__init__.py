"""What comes back with each turn of the escape wheel."""
