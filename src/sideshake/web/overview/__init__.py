"""What is in the workshop, due, overdue, or looked for."""
