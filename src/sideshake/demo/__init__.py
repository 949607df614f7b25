"""A demo season: an invented workshop, its owners, watches and two years of visits, as values."""
