"""API views: load, authorise, validate, make one call, answer."""
