"""XML as a small tree that knows its lines, read with every door shut.

Real timelines have a DOCTYPE, so it is allowed; entity declarations and anything outside the file are not (XML 1.0, 4.2:
entities are what bombs are built of). Depth, elements and the file's size are bounded, and elements that no reader here
looks at are not kept.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Final
from xml.etree.ElementTree import ParseError

from defusedxml.common import EntitiesForbidden
from defusedxml.ElementTree import DefusedXMLParser

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import figures, say

DEEPEST: Final = 200
MOST_ELEMENTS: Final = 1_000_000  # kept; about 400 bytes each with their text
LONGEST_NAME: Final = 1_000  # characters of an element's or attribute's name, its namespace included
LONGEST_WORD: Final = 10_000  # characters of an element's text that are kept, and at most as many again
_NO_ATTRIBUTES: Final[dict[str, str]] = {}
_ENCODING: Final = re.compile(rb"""<\?xml[^>]{0,200}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']""")


@dataclass(slots=True)
class Node:
    """An element: ``text`` is its own text before the first child, ``line`` where it begins (from 1)."""

    tag: str
    line: int
    attributes: dict[str, str]
    text: str = ""
    children: list[Node] = field(default_factory=list)

    def find(self, *path: str) -> Node | None:
        """The first child, or child's child, by tag."""
        node: Node | None = self
        for tag in path:
            node = next((child for child in node.children if child.tag == tag), None) if node else None
        return node

    def all(self, tag: str) -> Iterator[Node]:
        """The children with a tag, in order."""
        return (child for child in self.children if child.tag == tag)

    def within(self, tag: str) -> Iterator[Node]:
        """All elements below with a tag, in the file's order."""
        stack = self.children[::-1]
        while stack:
            node = stack.pop()
            if node.tag == tag:
                yield node
            stack.extend(reversed(node.children))

    def word(self, *path: str) -> str:
        """The text of a child, "" where there is none."""
        node = self.find(*path)
        return node.text.strip() if node else ""

    def get(self, name: str) -> str:
        """An attribute, "" where there is none."""
        return self.attributes.get(name, "").strip()


class _Builder:
    """The parser's target: builds nodes, passes over what is not kept, counts."""

    def __init__(self, left_out: frozenset[str]) -> None:
        self._left_out = left_out
        self._open: list[Node] = []
        self._passing = 0
        self._kept = 0
        self.place: Callable[[], tuple[int, int]] = lambda: (1, 1)
        self.root = Node("", 1, _NO_ATTRIBUTES)  # the parser lets no file pass that has no element

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        # A namespace is copied into every name that is of it: 100 kB of it and a million elements are 100 GB.
        if len(tag) > LONGEST_NAME or any(len(name) > LONGEST_NAME for name in attributes):
            raise _too_much(
                say("A name has more than {most} characters.", most=figures(f"{LONGEST_NAME:,}")), *self.place()
            )
        if self._passing or (self._open and tag in self._left_out):
            self._passing += 1
        else:
            self._kept += 1
            node = Node(tag, self.place()[0], attributes or _NO_ATTRIBUTES)
            if self._open:
                self._open[-1].children.append(node)
            else:
                self.root = node
            self._open.append(node)
        if len(self._open) + self._passing > DEEPEST:
            raise _too_much(say("Elements are nested more than {deepest} deep.", deepest=DEEPEST), *self.place())
        if self._kept > MOST_ELEMENTS:
            raise _too_much(
                say("The file has more than {most} elements.", most=figures(f"{MOST_ELEMENTS:,}")), *self.place()
            )

    def data(self, text: str) -> None:
        if not self._open or self._passing:
            return
        node = self._open[-1]
        if not node.children and len(node.text) < LONGEST_WORD:
            node.text += text[:LONGEST_WORD]

    def end(self, _tag: str) -> None:
        if self._passing:
            self._passing -= 1
        else:
            self._open.pop()

    def close(self) -> None:
        """All is built by ``end``."""


class _Parser(DefusedXMLParser):
    """The safe parser, which lets a DOCTYPE pass that declares nothing and names nothing outside."""

    def __init__(self, target: _Builder, encoding: str | None) -> None:
        super().__init__(target=target, encoding=encoding, forbid_dtd=True, forbid_entities=True, forbid_external=True)
        target.place = self.place
        self.parser.AttlistDeclHandler = self._refuse_defaults

    def place(self) -> tuple[int, int]:
        """Line and column, from 1."""
        return self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1

    def _refuse_defaults(self, element: str, attribute: str, _kind: str, default: str | None, _required: bool) -> None:
        """A default is copied to every element of the name: 100 kB of it and 200,000 elements are 20 GB."""
        if default is not None:
            line, column = self.place()
            raise UnreadableFile(
                "xml-entities",
                say(
                    "The DOCTYPE gives “{attribute}” of “{element}” a default, which no timeline needs.",
                    attribute=attribute[:40],
                    element=element[:40],
                ),
                mend=say("Export it once more, without it."),
                line=line,
                column=column,
            )

    def defused_start_doctype_decl(self, name: str, sysid: str | None, pubid: str | None, _internal: int) -> None:
        if sysid or pubid:
            line, column = self.place()
            raise UnreadableFile(
                "xml-external",
                say("The DOCTYPE of “{name}” points to something outside the file.", name=name[:40]),
                mend=say("Remove the address from the DOCTYPE."),
                line=line,
                column=column,
            )


def parse_xml(data: bytes, *, left_out: frozenset[str] = frozenset()) -> tuple[Node, str]:
    """Read XML; ``left_out`` names elements that are not kept. Answers the root and a sentence on the encoding, or "".

    Raises ``UnreadableFile`` with line and column, and nothing else.
    """
    text, encoding, remark = _decoded(data)
    builder = _Builder(left_out)
    parser = _Parser(builder, encoding)
    try:
        parser.feed(text)
        parser.close()
    except ParseError as fault:
        line, column = fault.position
        sentence = str(fault).partition(":")[0]
        raise UnreadableFile(
            "xml-broken",
            say("The XML is broken: {fault}.", fault=sentence),
            mend=say("Export it once more."),
            line=line,
            column=column + 1,
        ) from None
    except EntitiesForbidden:
        line, column = parser.place()
        raise UnreadableFile(
            "xml-entities",
            say("The file declares entities, which no timeline needs and which can unfold without end."),
            mend=say("Export it once more, without them."),
            line=line,
            column=column,
        ) from None
    except (ValueError, LookupError, UnicodeError) as fault:
        if isinstance(fault, UnreadableFile):
            raise
        raise UnreadableFile(
            "xml-encoding", say("The characters of the file cannot be read."), mend=say("Export it as UTF-8.")
        ) from None
    return builder.root, remark


def _decoded(data: bytes) -> tuple[bytes | str, str | None, str]:
    """The file for the parser; one that says UTF-8 and is not is read as Windows-1252, with a remark."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, b"<\0", b"\0<")):
        return data, None, ""
    declared = _ENCODING.search(data[:300])
    name = declared[1].decode().lower() if declared else "utf-8"
    if name not in ("utf-8", "utf8", "us-ascii", "ascii"):
        return data, None, ""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        remark = say("Line {line} has characters that are not UTF-8; the file is read as Windows-1252.", line=line)
        return data.decode("cp1252", "replace").encode(), "utf-8", remark
    return data, "utf-8", ""


def _too_much(text: str, line: int, column: int) -> UnreadableFile:
    return UnreadableFile("xml-too-large", text, mend=say("Export the music tracks alone."), line=line, column=column)
