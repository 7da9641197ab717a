"""Tags and filters of the templates: how values are drawn and written for people."""
