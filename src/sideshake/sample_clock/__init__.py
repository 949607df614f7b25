"""The recorder's clock: checked, counted against the computer's, kept."""
