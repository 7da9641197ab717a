"""Reads: rows turned into values of the rules, or annotated querysets. They never save; each states its query count."""
