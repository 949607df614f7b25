"""Those who work here, and how they come in."""
