"""The schema of the API, in English whoever reads it."""

from __future__ import annotations

from typing import Any

from supervision.rules.sentence import Told, english


def in_english(result: Any, **_kwargs: object) -> Any:
    """The schema with every sentence as plain text: YAML writes no other kind of text than ``str`` itself."""
    if isinstance(result, dict):
        return {name: in_english(value) for name, value in result.items()}
    if isinstance(result, list):
        return [in_english(value) for value in result]
    return english(result) if isinstance(result, Told) else result
