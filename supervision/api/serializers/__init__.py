"""Serializers: JSON in and out of values and rows."""
