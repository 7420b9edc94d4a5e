"""From a Route to Measures: pure functions on numbers."""
