"""Before and after."""
