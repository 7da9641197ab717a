"""The REST API under ``/api/v1/``: the same queries and actions as the pages."""
