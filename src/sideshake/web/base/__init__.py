"""What every room of the workshop stands on."""
