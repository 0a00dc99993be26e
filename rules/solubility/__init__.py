"""Rules on what dissolves, and on strengths that cannot exist."""
