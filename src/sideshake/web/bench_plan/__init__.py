"""The work at the bench, and the tests before a watch goes home."""
