"""Forms: text typed by people, turned into values."""
