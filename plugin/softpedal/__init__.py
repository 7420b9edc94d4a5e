"""softpedal: measure quiet cycling routes and publish them."""
