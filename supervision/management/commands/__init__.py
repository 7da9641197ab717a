"""``manage.py`` commands."""
