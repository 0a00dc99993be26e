"""Rules on vapours, fumes, dust and gas."""
