"""Rules on units and on what a request must say before it can be worked out."""
