"""What the house says to people: English text that remembers what it was made of, so that a page can say it anew.

A ``Sentence`` is a ``str`` and reads as English everywhere: in the API, in the audit, in files and on standard error.
Only where HTML is written (``__html__``, which Django's templates ask for) is it told in the reader's language, by the
teller that the web layer names once (``tell_by``). No rule needs to know that there are languages.

    say("{title} is locked.", title=cut.name)               one sentence, with places to fill
    say_as("of a side", "Denied")                           an English word that is two words elsewhere
    counted(3, "{number} usage", "{number} usages")         by number
    joined(["Sync", "Master"], between=", ")                sentences in a row
    figures("1,234.50")                                     a numeral: its signs follow the reader's country

The first argument must stand there as text, because the catalogue is collected from the source. A value keeps what it
is: a ``Sentence``, a numeral and a ``date`` are told in the reader's language inside the sentence that holds them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from html import escape
from typing import Self


@dataclass(frozen=True, slots=True)
class Saying:
    """What a sentence was made of: English with places in braces, what fills them, and which of two numbers it is."""

    one: str
    values: Mapping[str, object]
    many: str = ""
    number: int | None = None
    context: str = ""


class Told(str):
    """Text that is told in the reader's language where it becomes HTML. Immutable as every ``str``."""

    __slots__ = ()

    def __str__(self) -> str:
        # Django turns labels and messages into text on their way to a page; they stay what they are.
        return self

    def __html__(self) -> str:
        return escape(_tell(self))

    def __mod__(self, values: object) -> str:
        # Django fills the messages of constraints in this way, also where there is nothing to fill.
        filled = str.__mod__(self, values)
        return self if filled == self else filled

    def __copy__(self) -> Told:
        return self

    def __deepcopy__(self, memo: dict[int, object]) -> Told:
        return self

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        # In a cache or another process it is English.
        return str, (str.__str__(self),)


class Figures(Told):
    """A numeral as English writes it: commas between thousands, a point before decimals."""

    __slots__ = ()


class Sentence(Told):
    """English text with its ``saying``."""

    __slots__ = ("saying",)
    saying: Saying

    def lower(self) -> Lowered:
        """The sentence in small letters, in whichever language."""
        return Lowered(self)


class Lowered(Told):
    """A sentence in small letters, for the middle of another."""

    __slots__ = ("of",)
    of: Sentence

    def __new__(cls, of: Sentence) -> Self:
        made = super().__new__(cls, str.lower(of))
        made.of = of
        return made


class Joined(Told):
    """Texts in a row, each told by itself; what is no sentence stays as it is."""

    __slots__ = ("between", "parts")
    parts: tuple[str, ...]
    between: str


def say(text: str, /, **values: object) -> Sentence:
    """The sentence; ``values`` fill its places, as ``str.format`` does."""
    return _made(Saying(text, values))


def say_as(context: str, text: str, /, **values: object) -> Sentence:
    """The sentence of a context, where the same English is something else in another language."""
    return _made(Saying(text, values, context=context))


def counted(number: int, one: str, many: str, /, **values: object) -> Sentence:
    """The sentence for one or for many; ``{number}`` is how many."""
    return _made(Saying(one, {"number": number, **values}, many, number))


def joined(parts: Iterable[str], *, between: str = " ") -> Told:
    """The parts that are not empty, in a row."""
    kept = tuple(part for part in parts if part)
    made = Joined(between.join(kept))
    made.parts, made.between = kept, between
    return made


def listed(parts: Iterable[str]) -> Told:
    """``a``, ``a and b``, ``a, b and c``."""
    *first, last = parts
    if not first:
        return joined([last])
    return say("{first} and {last}", first=joined(first, between=", "), last=last)


def figures(text: str) -> Figures:
    """The numeral, written in English: ``1,234.50``."""
    return Figures(text)


def english(text: Told) -> str:
    """The text as it is: what everybody reads until the web layer names a teller."""
    return str.__str__(text)


def tell_by(teller: Callable[[Told], str]) -> None:
    """Name what tells a text in the reader's language. Called once, when the site starts."""
    global _tell  # noqa: PLW0603 - the one place where the site's language comes in
    _tell = teller


_tell: Callable[[Told], str] = english


def _made(saying: Saying) -> Sentence:
    text = saying.one if saying.number in (None, 1) else saying.many
    made = Sentence(text.format_map(saying.values) if saying.values else text)
    made.saying = saying
    return made
