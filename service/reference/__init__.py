"""What the bench knows, as documents: rules and substances."""
