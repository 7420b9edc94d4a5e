"""From a route folder on disk to a Route, or to Problems."""
