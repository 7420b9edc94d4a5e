"""A ride, the map and what was said → a route folder for an author to correct."""
