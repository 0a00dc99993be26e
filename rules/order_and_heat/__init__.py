"""Rules on the order of mixing and on the heat it gives."""
