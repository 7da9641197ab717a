"""Pages for people: forms in, one action or query, a template out."""
