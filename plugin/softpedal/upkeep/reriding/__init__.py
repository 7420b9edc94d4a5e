"""A new ride held against the published line: what differs, and adopting it."""
