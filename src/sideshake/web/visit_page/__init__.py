"""The page of a visit, which shows something of every room."""
