"""A new library: what an author starts from."""
