"""Photographs: taken in safely, freed of where they were taken, made ready to be shown."""
