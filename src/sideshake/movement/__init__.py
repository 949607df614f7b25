"""A calibre as a mechanism: its sheet, train, mainspring, balance, calendar."""
