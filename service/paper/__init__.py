"""What is printed: bench sheets, preparation records and labels, as PDF."""
