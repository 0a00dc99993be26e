"""Ways to talk to the service: the command line and what it is built from."""
