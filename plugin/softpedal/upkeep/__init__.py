"""Keeping a library true."""
