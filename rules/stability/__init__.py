"""Rules on how long a solution keeps, and what becomes dangerous on keeping."""
