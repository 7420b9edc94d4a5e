"""What readers send: read, rid of names and addresses, placed on routes, sorted and kept."""
