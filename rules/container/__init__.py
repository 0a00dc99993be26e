"""Rules on which vessel or bottle a solution may be put in."""
