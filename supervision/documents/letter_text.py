"""A letter as plain text: the part of its e-mail that every program shows."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.documents.letter_layout import Layout, Part


def letter_text(layout: Layout) -> str:
    """All that the letter says, without letterhead and address, which an e-mail has in its own head."""
    letter = layout.letter
    head = [layout.draft] if layout.draft else []
    head += [letter.heading, letter.subject, *(f"{term}: {text}" for term, text in layout.matter)]
    blocks = ["\n".join(head), *("\n".join(_part(part)) for part in layout.parts)]
    return "\n\n".join(blocks) + "\n"


def _part(part: Part) -> Iterator[str]:
    if part.title:
        yield part.title.upper() if part.name in {"rights", "options", "fee"} else part.title
    yield from part.paragraphs
    yield from (f"  {term}: {text}" for term, text in part.facts)
    for row in part.rows:
        yield "  - " + "; ".join(f"{label}: {cell}" for label, cell in zip(part.head, row, strict=True))
    yield from (f"  - {bullet}" for bullet in part.bullets)
    yield from part.lines
    yield from (f"{blank}: {'_' * 30}" for blank in part.blanks)
