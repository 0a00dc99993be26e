"""Prep days: many requests for one day, merged where they agree, in the order they are worked."""
