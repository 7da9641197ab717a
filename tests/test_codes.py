"""The codes of refusals and findings are one vocabulary: small letters and digits, words joined by hyphens."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).resolve().parent.parent / "supervision"

# Where the code stands among the arguments.
REFUSALS = dict.fromkeys(
    ("BadValue", "Conflict", "NotAllowed", "NotVisible", "Refusal", "StaleEdit", "UnreadableFile", "Guard"), 0
) | {"Finding": 1}


def codes() -> Iterator[tuple[str, int, str]]:
    """Each code that is written out where a refusal or a finding is made: its file, line and text."""
    for path in SOURCE.rglob("*.py"):
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") in REFUSALS:
                place = REFUSALS[call.func.id]
                named = [word.value for word in call.keywords if word.arg == "code"]
                for argument in [*call.args[place : place + 1], *named]:
                    # A finding that a page makes up to show an answer's sentence has none.
                    if isinstance(argument, ast.Constant) and (argument.value or call.func.id != "Finding"):
                        yield str(path.relative_to(SOURCE)), argument.lineno, argument.value


def test_codes_are_words_joined_by_hyphens():
    found = list(codes())
    assert len(found) > 300
    assert [each for each in found if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", each[2])] == []
