"""The demo season written into an empty workshop: its records, photographs and recordings."""
