"""The rules of the trade: plain Python over frozen values; no Django, clock, files or network."""
