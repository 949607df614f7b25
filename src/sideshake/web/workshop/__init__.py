"""The workshop's own name, wording and rules, and its first hour."""
