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

``as_json`` and ``of_json`` keep a text with what it was made of, for values that wait in the database or pass a pipe.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from html import escape
from typing import Annotated, Any, Final, Self

Said = Annotated[str, "kept with what it was made of"]
"""The type of a field whose text may be a sentence: ``rules.frozen`` keeps it by ``as_json``."""


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


def as_json(value: object) -> Any:
    """A text for JSON: of a sentence what it was made of, any other as it is. ``TypeError`` for what does not come back.

    ``{"say": "{title} is locked.", "values": {"title": "Low Water"}}``
    """
    match value:
        case Sentence():
            return _kept(value.saying)
        case Joined():
            return {"joined": [as_json(part) for part in value.parts], "between": value.between}
        case Lowered():
            return {"lower": as_json(value.of)}
        case Figures():
            return {"figures": english(value)}
        case str() | int():
            return value
        case date():
            return {"moment" if isinstance(value, datetime) else "day": value.isoformat()}
    raise TypeError(f"{type(value).__name__} cannot be kept in a sentence")


def of_json(kept: Any) -> Any:
    """What ``as_json`` kept. ``ValueError`` for what is no text, and no sentence."""
    if isinstance(kept, (str, int)):
        return kept
    for key, read in _READ.items():
        if isinstance(kept, dict) and key in kept:
            return read(kept)
    raise ValueError("This is no text.")


def _kept(saying: Saying) -> dict[str, Any]:
    kept: dict[str, Any] = {"say": saying.one}
    if saying.values:
        kept["values"] = {name: as_json(value) for name, value in saying.values.items()}
    if saying.number is not None:
        kept |= {"many": saying.many, "number": saying.number}
    return kept | ({"context": saying.context} if saying.context else {})


def _of_saying(kept: Mapping[str, Any]) -> Sentence:
    values = {name: of_json(value) for name, value in kept.get("values", {}).items()}
    return _made(Saying(kept["say"], values, kept.get("many", ""), kept.get("number"), kept.get("context", "")))


_READ: Final[Mapping[str, Callable[[Mapping[str, Any]], object]]] = {
    "say": _of_saying,
    "joined": lambda kept: joined(map(of_json, kept["joined"]), between=kept["between"]),
    "lower": lambda kept: of_json(kept["lower"]).lower(),
    "figures": lambda kept: figures(kept["figures"]),
    "day": lambda kept: date.fromisoformat(kept["day"]),
    "moment": lambda kept: datetime.fromisoformat(kept["moment"]),
}


def english(text: str) -> str:
    """The text as it is: what everybody reads until the web layer names a teller."""
    return str.__str__(text)


def told(text: str) -> str:
    """The text in the language that is spoken now, for paper that no template writes."""
    return _tell(text) if isinstance(text, Told) else text


def tell_by(teller: Callable[[str], str]) -> None:
    """Name what tells a text in the reader's language. Called once, when the site starts."""
    global _tell  # noqa: PLW0603 - the one place where the site's language comes in
    _tell = teller


_tell: Callable[[str], str] = english


def _made(saying: Saying) -> Sentence:
    text = saying.one if saying.number in (None, 1) else saying.many
    made = Sentence(text.format_map(saying.values) if saying.values else text)
    made.saying = saying
    return made
