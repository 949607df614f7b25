"""The ground: errors, versions, measured values."""
