"""Signed events for other systems (Standard Webhooks): what is told, to whom, and the sender."""
