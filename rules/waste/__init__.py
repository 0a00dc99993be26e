"""Rules on where what is left over goes."""
