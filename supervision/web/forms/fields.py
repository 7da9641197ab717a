"""Fields of the catalogue: what people type, read as shares, territories, lengths, identifiers and rows by name.

Each shows a stored value the way it is typed, and refuses with the sentence and the mend of its rule.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse_lazy

from supervision.queries.picks import picked_parties, picked_works
from supervision.rules.durations import clock, read_clock
from supervision.rules.errors import BadValue
from supervision.rules.expression import said
from supervision.rules.identifiers import Scheme, canonical, display_form
from supervision.rules.media import Media
from supervision.rules.percent import parse_share, share_text
from supervision.rules.sentence import Told, figures, joined, say
from supervision.rules.split import WHOLE
from supervision.rules.term import TermWording, term_said
from supervision.rules.term_french import english_term
from supervision.rules.territory import Territory
from supervision.web.language import read_figures, speaks_english, tell, tell_figures

Read = TypeVar("Read")

_DECIMALS = 6  # as many as the columns of shares hold


def _read(reader: Callable[[str], Read], text: str) -> Read:
    try:
        return reader(text)
    except BadValue as refused:
        raise ValidationError(str(refused), code=refused.code) from refused


class AmountField(forms.CharField):
    """An amount of money as the reader's country writes it. Cleans to text as ``rules.money`` reads it: ``1,234.50``."""

    def prepare_value(self, value: Any) -> Any:
        """An amount that is kept, in the signs that the field reads."""
        return tell(value) if isinstance(value, Told) else value

    def to_python(self, value: Any) -> str:
        """The text in the English of the rules."""
        return read_figures(str(super().to_python(value) or ""))


class ShareField(forms.CharField):
    """A share in per cent, kept exactly as typed: 33.34 is 33.34. Cleans to a ``Decimal`` or ``None``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=40, **kwargs)
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    def prepare_value(self, value: Any) -> Any:
        """A stored share as short as it goes."""
        return tell_figures(share_text(Fraction(value))) if isinstance(value, Decimal) else value

    def clean(self, value: Any) -> Decimal | None:
        """The share, refused when it does not end within six decimals."""
        text = super().clean(value)
        if not text:
            return None
        share = _read(parse_share, text)
        if share > WHOLE:
            raise ValidationError(
                say("{share} is more than there is. A share lies between 0 and 100 percent.", share=text)
            )
        exact = Decimal(share.numerator) / Decimal(share.denominator)
        if Fraction(round(exact, _DECIMALS)) != share:
            raise ValidationError(
                say(
                    "{share} has more than {number} decimals. Write what the contract says, as {near}.",
                    share=text,
                    number=_DECIMALS,
                    near=figures(str(round(exact, 2))),
                )
            )
        return round(exact, _DECIMALS)


class TradeField(forms.CharField):
    """Trade language, shown and typed in the page's language. Cleans to the English of the rules, in its shortest text."""

    def parse(self, text: str) -> Territory | Media:
        """What the text means; ``BadValue`` where nobody can tell."""
        raise NotImplementedError

    def prepare_value(self, value: Any) -> Any:
        """What is kept, as the page's language says it."""
        return tell(said(value, self.parse)) if value else value

    def to_python(self, value: Any) -> str:
        """The text in the English of the rules, where it can be read."""
        text = str(super().to_python(value) or "")
        try:
            return self.parse(text).text if text else text
        except BadValue:
            return text

    def clean(self, value: Any) -> str:
        """The shortest text."""
        text = super().clean(value)
        return _read(self.parse, text).text if text else ""


class TerritoryField(TradeField):
    """A territory in trade language; blank is the world. Cleans to its text, such as "World excl. US"."""

    def __init__(self, **kwargs: Any) -> None:
        defaults: dict[str, Any] = {"required": False, "initial": "World", "max_length": 300}
        super().__init__(**(defaults | kwargs))

    def parse(self, text: str) -> Territory:
        """The territory that the text means."""
        return Territory.parse(text)

    def clean(self, value: Any) -> str:
        """The territory's text."""
        return super().clean(value) or "World"


class MediaField(TradeField):
    """Media in trade language. Cleans to their text, such as "all media excl. theatrical"."""

    def __init__(self, **kwargs: Any) -> None:
        defaults: dict[str, Any] = {"label": say("Media"), "max_length": 300}
        super().__init__(**(defaults | kwargs))

    def parse(self, text: str) -> Media:
        """The media that the text means."""
        return Media.parse(text)


class TermField(forms.CharField):
    """A term in any words. One of the trade is shown and typed in the page's language, and cleans to English."""

    def prepare_value(self, value: Any) -> Any:
        """What is kept, as the page's language says it."""
        # English keeps ISO days, so that saving it untouched changes nothing.
        return value if not value or speaks_english() else tell(term_said(value))

    def to_python(self, value: Any) -> str:
        """The text in the English of the rules, where it is French that they can read."""
        return english_term(str(super().to_python(value) or ""))

    def clean(self, value: Any) -> str:
        """The text, refused where it is a term that cannot be: one that ends before it starts, or on 30 February."""
        text = str(super().clean(value))
        try:
            TermWording.parse(text)
        except BadValue as refused:
            if refused.code not in ("term-unread", "term-missing"):
                raise ValidationError(str(refused), code=refused.code) from refused
        return text


class LengthField(forms.CharField):
    """A length typed as ``m:ss``. Cleans to whole seconds or ``None``."""

    def __init__(self, **kwargs: Any) -> None:
        defaults: dict[str, Any] = {"required": False, "max_length": 10}
        super().__init__(**(defaults | kwargs))

    def prepare_value(self, value: Any) -> Any:
        """Stored seconds as ``m:ss``."""
        return clock(value) if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:
        """The seconds."""
        text = super().clean(value)
        return _read(read_clock, text) if text else None


class IdentifierField(forms.CharField):
    """An ISWC, ISRC, IPI name number or ISNI, with or without punctuation. Cleans to its canonical form.

    ``stored`` is what the row has: left alone it is taken as it is, even with the wrong check digit of an import.
    """

    stored = ""

    def __init__(self, scheme: Scheme, **kwargs: Any) -> None:
        self.scheme = scheme
        defaults: dict[str, Any] = {"required": False, "max_length": 100, "label": scheme.label}
        super().__init__(**(defaults | kwargs))

    def prepare_value(self, value: Any) -> Any:
        """The identifier as people write it."""
        return display_form(self.scheme, value) if isinstance(value, str) else value

    def clean(self, value: Any) -> str:
        """The canonical form."""
        text = super().clean(value)
        if text in (self.stored, display_form(self.scheme, self.stored)):
            return self.stored
        return _read(lambda typed: canonical(self.scheme, typed), text)


class PickField(forms.CharField):
    """A row named by a text, with suggestions while typing. Cleans to the row or ``None``.

    Errors have the code ``unknown`` (no row is called so) or ``several`` (more than one is).
    """

    def __init__(self, kind: str, picked: Callable[[str], Sequence[Any]], identifier: str, **kwargs: Any) -> None:
        super().__init__(max_length=330, **kwargs)
        self.kind, self.picked, self.identifier = kind, picked, identifier
        self.widget.attrs |= {
            "list": f"{kind}-suggestions",
            "autocomplete": "off",
            "hx-get": reverse_lazy(f"{kind}-suggestions"),
            "hx-trigger": "input changed delay:200ms",
            "hx-target": f"#{kind}-suggestions",
        }

    def clean(self, value: Any) -> Any:
        """The one row that the text means."""
        text = super().clean(value)
        if not text:
            return None
        rows = self.picked(text)
        if not rows:
            raise ValidationError(joined([_UNKNOWN[self.kind](text), _ADD_FIRST[self.kind]]), code="unknown")
        if len(rows) > 1:
            raise ValidationError(
                say(
                    "Several are called “{name}”. Write {numbered}, or the {identifier}.",
                    name=text,
                    numbered=_any_of([f"“{row} #{row.pk}”" for row in rows]),
                    identifier=self.identifier,
                ),
                code="several",
            )
        return rows[0]


_UNKNOWN: Mapping[str, Callable[[str], str]] = {
    "party": lambda text: say("No party is called “{name}”.", name=text),
    "work": lambda text: say("No work is called “{name}”.", name=text),
}
_ADD_FIRST = {
    "party": say("Choose one of those suggested, or add the party first."),
    "work": say("Choose one of those suggested, or add the work first."),
}


def _any_of(texts: list[str]) -> str:
    *others, last = texts
    return say("{one} or {other}", one=_any_of(others), other=last) if others else last


class PartyField(PickField):
    """A party by name, IPI name number or ``#number``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__("party", picked_parties, Scheme.IPI.label, **kwargs)


class WorkField(PickField):
    """A work by title, ISWC or ``#number``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__("work", picked_works, Scheme.ISWC.label, **kwargs)
