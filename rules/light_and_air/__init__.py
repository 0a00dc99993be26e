"""Rules on what light, carbon dioxide and oxygen do to a solution."""
