"""A production as one JSON file, with a version of the form and a SHA-256 over its content.

Canonical JSON (RFC 8785: keys sorted, no spaces, UTF-8; without floats, as ``rules.frozen`` says), so that equal content
is the same file byte for byte. Files travel in base64 (RFC 4648). The digest shows that a file was changed on its way; it
does not prove who made it.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any, Final, NoReturn

from supervision.interchange.production_rows import check_rows
from supervision.rules.errors import BadValue
from supervision.rules.frozen import canonical, digest
from supervision.rules.production_data import check_data
from supervision.rules.production_file import FORMAT, SCHEMA, Person, Plain, ProductionContent, Shapes
from supervision.rules.sentence import say

LARGEST: Final = 500_000_000
"""Bytes of the largest file that is read: 18 signed files of 20 MB in base64."""

_AGAIN: Final = say("Export the production again; the file must not be edited.")


def write_production(content: ProductionContent) -> bytes:
    """The file."""
    plain: Plain = {
        "code": content.code,
        "people": [
            {"username": person.username, "first_name": person.first_name, "last_name": person.last_name}
            for person in content.people
        ],
        "tables": {name: list(rows) for name, rows in content.tables.items()},
        "files": {sha: base64.b64encode(data).decode("ascii") for sha, data in content.files.items()},
    }
    return canonical({"format": FORMAT, "schema": SCHEMA, "digest": digest(plain), "content": plain}) + b"\n"


def read_production(data: bytes, shapes: Shapes) -> ProductionContent:
    """Read the file. ``BadValue`` with place and mend for anything that is not whole, current and sound."""
    plain = _content(data)
    _expect(plain, {"code": str, "people": list, "tables": dict, "files": dict}, "content")
    people = tuple(_people(plain["people"]))
    files = dict(_files(plain["files"]))
    check_rows(plain["tables"], shapes, people={person.username for person in people}, files=set(files))
    check_data(plain["tables"])
    return ProductionContent(plain["code"], people, plain["tables"], files)


def _content(data: bytes) -> Plain:
    """The content, after the form, its version and the digest have been checked."""
    if len(data) > LARGEST:
        raise _refused(
            "production-file-large", say("The file has more than {most} MB.", most=LARGEST // 1_000_000), "file", _AGAIN
        )
    try:
        whole = json.loads(data.decode("utf-8-sig"), parse_float=_no_float, parse_constant=_no_float)
    except (ValueError, RecursionError) as broken:
        line = f"line {broken.lineno}, column {broken.colno}" if isinstance(broken, json.JSONDecodeError) else "file"
        raise _refused(
            "production-file-unreadable", say("The file is no JSON of a production."), line, _AGAIN
        ) from None
    if not isinstance(whole, dict) or whole.get("format") != FORMAT:
        mend = say("Choose a file that was exported by Ledger Line as a whole production.")
        raise _refused("production-file-other", say("The file is no exported production."), "format", mend)
    schema = whole.get("schema")
    if type(schema) is not int or schema < 1:
        raise _refused(
            "production-file-other", say("The file does not say which version of the form it has."), "schema", _AGAIN
        )
    if schema > SCHEMA:
        text = say(
            "The file is from a newer Ledger Line: version {version} of the form, and {known} is known here.",
            version=schema,
            known=SCHEMA,
        )
        raise _refused("production-file-newer", text, "schema", say("Bring this installation up to date first."))
    content = whole.get("content")
    if not isinstance(content, dict) or _digest(content) != whole.get("digest"):
        text = say("The file was changed after it was exported: its content no longer has its digest.")
        raise _refused("production-file-changed", text, "digest", _AGAIN)
    return content


def _digest(content: Plain) -> str:
    """The digest of the content; half a surrogate pair is no text and has none."""
    try:
        return digest(content)
    except UnicodeEncodeError:
        text = say("The file has a text that is none (half a surrogate pair).")
        raise _refused("production-file-unreadable", text, "content", _AGAIN) from None


def _no_float(text: str) -> NoReturn:
    raise ValueError(f"{text} is no exact number")


def _expect(plain: Any, keys: Mapping[str, type], place: str) -> None:
    """An object with exactly these keys, of these types."""
    if not isinstance(plain, dict) or set(plain) != set(keys):
        text = say("There should be an object with {keys}.", keys=", ".join(keys))
        raise _refused("production-file-shape", text, place, _AGAIN)
    for key, kind in keys.items():
        if type(plain[key]) is not kind:
            raise _refused(
                "production-file-shape", say("This is no {name}.", name=kind.__name__), f"{place}.{key}", _AGAIN
            )


def _people(told: list[Any]) -> Iterator[Person]:
    seen: set[str] = set()
    for number, person in enumerate(told, start=1):
        place = f"people[{number}]"
        _expect(person, {"username": str, "first_name": str, "last_name": str}, place)
        if not person["username"] or len(person["username"]) > 150 or person["username"] in seen:
            raise _refused(
                "production-file-people", say("A person has a name of their own to sign in with."), place, _AGAIN
            )
        seen.add(person["username"])
        yield Person(person["username"], person["first_name"][:150], person["last_name"][:150])


def _files(told: dict[str, Any]) -> Iterator[tuple[str, bytes]]:
    for sha, text in told.items():
        place = f"files.{sha[:12]}"
        try:
            data = base64.b64decode(text, validate=True)
        except (binascii.Error, ValueError, TypeError):
            raise _refused("production-file-base64", say("The file is not written in base64."), place, _AGAIN) from None
        if hashlib.sha256(data).hexdigest() != sha:
            raise _refused("production-file-changed", say("The file no longer has its digest."), place, _AGAIN)
        yield sha, data


def _refused(code: str, text: str, place: str, mend: str) -> BadValue:
    return BadValue(code, text, place=place, mend=mend)
