"""What a browser would send of a form as it is shown: every field with the value that stands in it."""

from itertools import chain


def as_shown(form):
    """Name and value of every field of a FormWithRows, those of its rows included."""
    rows = [row for rows in form.sets.values() for row in (rows.management_form, *rows.forms)]
    fields = list(chain.from_iterable([form, *rows]))
    values = {field.html_name: field.value() for field in fields}
    sent = {name: value for name, value in values.items() if value is not None and value is not False}
    return {name: "on" if value is True else str(value) for name, value in sent.items()}
