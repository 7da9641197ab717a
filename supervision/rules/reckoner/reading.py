"""Reading what is given to the reckoner: typed fields, each refusal with the place where it stands.

JSON's numbers with a fraction are refused: 33.3333 in JSON is whatever binary float comes next to it. Such values are
written as text. Messages never repeat a value that has no sane length.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from supervision.rules.errors import BadValue
from supervision.rules.sentence import Sentence, figures, say

#: What a rule answers: the keys of design.md, section 5, with values that JSON can hold.
Answer = dict[str, Any]

LONGEST_TEXT = 10_000
#: Characters of all texts together: a season's grants have some hundred thousand.
MOST_CHARACTERS = 1_000_000
LONGEST_INPUT = 10_000_000
MOST_ITEMS = 20_000
LARGEST_NUMBER = 10**15

_ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_SURROGATE = re.compile("[\ud800-\udfff]")
_EXACT = re.compile(r"[0-9]{1,15}(?:\.[0-9]{1,15}|/[0-9]{1,15})?", re.ASCII)


@dataclass(frozen=True)
class Fields:
    """An object's fields, and the place it stands at ("" for the whole input)."""

    values: Mapping[str, object]
    place: str = ""

    @classmethod
    def of(cls, given: object, place: str = "") -> Fields:
        """The fields of what should be an object."""
        if not isinstance(given, Mapping) or not all(isinstance(name, str) for name in given):
            text, mend = say("This is not an object with fields."), say("Write {…} with the rule's fields.")
            raise BadValue("not-an-object", text, place=place or "input", mend=mend)
        return cls(given, place)

    def only(self, *names: str) -> None:
        """Refuses fields of other names: a misspelt field would otherwise be left out in silence."""
        for name in self.values:
            if name not in names:
                shown = "".join(c if c.isprintable() else "?" for c in name[:40])
                text = say("There is no field “{name}” here.", name=shown)
                mend = say("Use {names}.", names=", ".join(names))
                raise BadValue("field-unknown", text, place=self.place or "input", mend=mend)

    def at(self, name: str) -> str:
        """The place of a field, as in "plan[0].territory"."""
        return f"{self.place}.{name}" if self.place else name

    def has(self, name: str) -> bool:
        """Whether the field is there, null or not."""
        return name in self.values

    def any(self, name: str) -> object:
        """The field as it is; refused when it is not there."""
        if name not in self.values:
            raise BadValue("field-missing", say("This field is missing."), place=self.at(name), mend=say("Add it."))
        return self.values[name]

    def text(self, name: str) -> str:
        """Text of at most 10,000 characters."""
        value = self.any(name)
        if not isinstance(value, str):
            raise self._bad(name, say("This is not text."), say("Put it in quotation marks."))
        return self._short(name, value)

    def number_text(self, name: str) -> str:
        """An exact number as text, or a whole number that is not written as text."""
        value = self.any(name)
        if type(value) is int and 0 <= value <= LARGEST_NUMBER:
            return str(value)
        if not isinstance(value, str):
            raise self._bad(name, _NOT_EXACT, say("Write it as text, as in “33.34” or “100/3”."))
        return self._short(name, value)

    def exact(self, name: str) -> Fraction:
        """A number of 0 or more, exactly: 312, "312.5" or "625/2"."""
        written = self.number_text(name)
        if not _EXACT.fullmatch(written) or re.fullmatch(r".*/0+", written):
            raise self._bad(name, _NOT_EXACT, say("Write it as in “312.5” or “625/2”."))
        return Fraction(written)

    def whole(self, name: str) -> int:
        """A whole number no further from 0 than 10^15."""
        value = self.any(name)
        if type(value) is not int or abs(value) > LARGEST_NUMBER:
            mend = say("Write it without decimals and without quotation marks.")
            raise self._bad(name, say("This is not a whole number."), mend)
        return value

    def flag(self, name: str) -> bool:
        """A field that is true or false; false when it is not there."""
        value = self.values.get(name, False)
        if not isinstance(value, bool):
            mend = say("Write true or false without quotation marks.")
            raise self._bad(name, say("This is not true or false."), mend)
        return value

    def day(self, name: str) -> date | None:
        """A day, or None where null is written; refused when it is not there, so that nothing is open by oversight."""
        value = self.any(name)
        if value is None:
            return None
        if isinstance(value, str) and _ISO_DAY.fullmatch(value):
            try:
                return date.fromisoformat(value)
            except ValueError:
                text = say("This is not a day of the calendar.")
                raise self._bad(name, text, say("Check day and month.")) from None
        raise self._bad(name, say("This is not a day."), say("Write it like “2027-01-31”, or null for none."))

    def items(self, name: str) -> list[object]:
        """A list of at most 20,000 things."""
        value = self.any(name)
        if not isinstance(value, list | tuple):
            raise self._bad(name, say("This is not a list."), say("Write […]."))
        if len(value) > MOST_ITEMS:
            text = say("There are more than {most} entries.", most=MOST_ITEMS)
            raise BadValue("list-too-long", text, place=self.at(name), mend=say("Give fewer at a time."))
        return list(value)

    def objects(self, name: str) -> Iterator[Fields]:
        """The objects of a list, each knowing its place."""
        for number, item in enumerate(self.items(name)):
            yield Fields.of(item, f"{self.at(name)}[{number}]")

    def texts(self, name: str) -> Iterator[tuple[str, str]]:
        """The texts of a list, each with its place."""
        for number, item in enumerate(self.items(name)):
            each = f"{name}[{number}]"
            yield Fields({each: item}, self.place).text(each), self.at(each)

    def _short(self, name: str, value: str) -> str:
        if len(value) > LONGEST_TEXT:
            text = say("This is longer than {most} characters.", most=LONGEST_TEXT)
            raise BadValue("text-too-long", text, place=self.at(name), mend=say("Shorten it."))
        return value

    def _bad(self, name: str, text: Sentence, mend: Sentence) -> BadValue:
        return BadValue("wrong-kind", text, place=self.at(name), mend=mend)


_NOT_EXACT = say("This is not an exact number of 0 or more.")


def check_size(given: object) -> None:
    """Refuses input with more text than can be read in good time, or with text that nothing can write.

    Nesting of any depth does no harm.
    """
    characters = 0
    waiting = [given]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            characters += len(value)
            if _SURROGATE.search(value):
                # JSON can name half of a character ("\ud800"), which no UTF-8 can hold: an answer could not repeat it.
                text, mend = say("A text holds half a character."), say("Write the whole character.")
                raise BadValue("text-broken", text, place="input", mend=mend)
        elif isinstance(value, Mapping):
            waiting.extend(value.values())
        elif isinstance(value, list | tuple):
            waiting.extend(value)
    if characters > MOST_CHARACTERS:
        most = figures(f"{MOST_CHARACTERS:,}")
        text = say("All texts together are longer than {most} characters.", most=most)
        raise BadValue("input-too-long", text, place="input", mend=say("Give fewer at a time."))


def read_json(text: str | bytes) -> object:
    """What a JSON text holds, for ``reckon``; raises BadValue with line and column where it is no JSON.

    NaN and Infinity, which Python's reader takes for numbers, are refused, as is nesting that nobody means.
    """
    if len(text) > LONGEST_INPUT:
        raise BadValue("json-too-long", f"The input is longer than {LONGEST_INPUT:,} bytes.", place="input")
    try:
        return json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise BadValue("json-unread", "This is not JSON.", place=place, mend=f"{error.msg}.") from None
    except UnicodeDecodeError:
        raise BadValue("json-unread", "This is not text in UTF-8.", place="input", mend="Save it as UTF-8.") from None
    except RecursionError:
        raise BadValue("json-too-deep", "The input is nested too deeply.", place="input", mend="Flatten it.") from None
    except BadValue:
        raise
    except ValueError:
        # The only other one that json.loads raises: Python's limit on the digits of one number.
        text = "A number has too many digits."
        raise BadValue("json-unread", text, place="input", mend="Write exact numbers as text.") from None


def _no_constant(name: str) -> object:
    raise BadValue("json-unread", f"{name} is not a number.", place="input", mend="Write exact numbers as text.")
