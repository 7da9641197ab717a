"""Views: load, authorise, validate, make one call, render."""
