"""Results to charts and drawings."""
