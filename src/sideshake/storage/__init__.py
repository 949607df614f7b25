"""Files on the disk: written whole or not at all, archives, the mark of an open workshop."""
