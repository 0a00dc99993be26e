"""The bench record: what was really made from a plan, with every correction kept."""
