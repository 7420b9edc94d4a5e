"""What a map extract says of streets and of the ground between them."""
