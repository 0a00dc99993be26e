"""Rules on volumes measured, dilution steps and the amount made."""
