"""Media: how a production reaches people, as a small tree of the trade's words.

    all media                   every medium in which the production itself is shown
    ├── theatrical · festival
    ├── all TV: free TV · pay TV
    ├── VOD: SVOD · AVOD · download (transactional)
    ├── physical video · non-theatrical
    ├── clips · in-context promotion
    └── interactive
    out-of-context advertising · soundtrack album

"All media" (also "now known or hereafter devised") does not hold out-of-context advertising and the soundtrack album:
there the music leaves the picture it was licensed for, and letters price both as options (common practice, no
published source). A grant that means them names them: "all media, soundtrack".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, lru_cache

from supervision.rules.errors import BadValue
from supervision.rules.expression import Vocabulary, read, said
from supervision.rules.sentence import joined, say


class Medium(StrEnum):
    """A leaf of the tree; the values are the codes of the API and the database."""

    THEATRICAL = "theatrical"
    FESTIVAL = "festival"
    FREE_TV = "free_tv"
    PAY_TV = "pay_tv"
    SVOD = "svod"
    AVOD = "avod"
    DOWNLOAD = "download"
    PHYSICAL = "physical"
    NON_THEATRICAL = "non_theatrical"
    CLIPS = "clips"
    IN_CONTEXT_PROMO = "in_context_promo"
    INTERACTIVE = "interactive"
    OUT_OF_CONTEXT_PROMO = "out_of_context_promo"
    SOUNDTRACK = "soundtrack"

    @property
    def label(self) -> str:
        """The words on screen and paper."""
        return _LABELS[self]


_LABELS = {
    Medium.THEATRICAL: say("theatrical"),
    Medium.FESTIVAL: say("festival"),
    Medium.FREE_TV: say("free TV"),
    Medium.PAY_TV: say("pay TV"),
    Medium.SVOD: say("SVOD"),
    Medium.AVOD: say("AVOD"),
    Medium.DOWNLOAD: say("download"),
    Medium.PHYSICAL: say("physical video"),
    Medium.NON_THEATRICAL: say("non-theatrical"),
    Medium.CLIPS: say("clips"),
    Medium.IN_CONTEXT_PROMO: say("in-context promotion"),
    Medium.INTERACTIVE: say("interactive"),
    Medium.OUT_OF_CONTEXT_PROMO: say("out-of-context advertising"),
    Medium.SOUNDTRACK: say("soundtrack album"),
}

_BITS = {medium: 1 << i for i, medium in enumerate(Medium)}


def _mask(*media: Medium) -> int:
    return sum(_BITS[medium] for medium in media)


_ALL = _mask(*Medium) & ~_mask(Medium.OUT_OF_CONTEXT_PROMO, Medium.SOUNDTRACK)
_TV = _mask(Medium.FREE_TV, Medium.PAY_TV)
_VOD = _mask(Medium.SVOD, Medium.AVOD, Medium.DOWNLOAD)
_HOME_VIDEO = _mask(Medium.DOWNLOAD, Medium.PHYSICAL)

# Groups that are printed, widest first.
_GROUPS: tuple[tuple[str, int], ...] = ((say("all media"), _ALL), (say("VOD"), _VOD), (say("all TV"), _TV))

# Words of letters and deal memos: common practice, no published source.
_OTHER_NAMES = {
    _ALL: ("all", "all media now known or hereafter devised", "AMNK", "AMNKHD", "every medium", "any and all media"),
    _TV: ("TV", "television", "all television", "all forms of television", "all_tv", "broadcast"),
    _VOD: ("video on demand", "all VOD"),
    _HOME_VIDEO: ("home video", "home entertainment"),
    _mask(Medium.SVOD, Medium.AVOD): ("streaming", "internet streaming"),
    _BITS[Medium.THEATRICAL]: ("cinema", "cinemas", "theatres", "theaters", "theatrical release"),
    _BITS[Medium.FESTIVAL]: ("festivals", "film festival", "film festivals"),
    _BITS[Medium.FREE_TV]: ("free television", "free-to-air", "FTA", "terrestrial TV", "network TV"),
    _BITS[Medium.PAY_TV]: ("pay television", "cable TV", "cable", "satellite TV", "subscription TV", "basic cable"),
    _BITS[Medium.SVOD]: ("subscription VOD", "subscription video on demand", "subscription streaming"),
    _BITS[Medium.AVOD]: ("advertising VOD", "ad-supported VOD", "ad-supported streaming", "FAST"),
    _BITS[Medium.DOWNLOAD]: ("downloads", "TVOD", "EST", "DTO", "DTR", "transactional VOD", "transactional download"),
    _BITS[Medium.PHYSICAL]: ("physical", "DVD", "Blu-ray", "videogram", "videograms", "DVD & Blu-ray"),
    _BITS[Medium.NON_THEATRICAL]: ("nontheatrical", "in-flight", "inflight", "airlines", "ships", "educational"),
    _BITS[Medium.CLIPS]: ("clip", "social", "social media", "clips & social", "clip & social"),
    _BITS[Medium.IN_CONTEXT_PROMO]: ("in-context promo", "in-context promos", "in-context trailers"),
    _BITS[Medium.OUT_OF_CONTEXT_PROMO]: (
        "out-of-context promo",
        "out-of-context promos",
        "out-of-context promotion",
        "out-of-context",
        "advertising",
    ),
    _BITS[Medium.INTERACTIVE]: ("game", "games", "video game", "interactive & games"),
    _BITS[Medium.SOUNDTRACK]: ("soundtrack audio", "album", "soundtrack"),
}
# As the pages say them in French, so that what is read there can be typed.
_FRENCH = {
    "tous médias": _ALL,
    "toute TV": _TV,
    "salles de cinéma": _BITS[Medium.THEATRICAL],
    "festivals": _BITS[Medium.FESTIVAL],
    "TV gratuite": _BITS[Medium.FREE_TV],
    "TV payante": _BITS[Medium.PAY_TV],
    "téléchargement": _BITS[Medium.DOWNLOAD],
    "vidéo physique": _BITS[Medium.PHYSICAL],
    "circuits non commerciaux": _BITS[Medium.NON_THEATRICAL],
    "extraits": _BITS[Medium.CLIPS],
    "promotion en contexte": _BITS[Medium.IN_CONTEXT_PROMO],
    "médias interactifs": _BITS[Medium.INTERACTIVE],
    "publicité hors contexte": _BITS[Medium.OUT_OF_CONTEXT_PROMO],
    "album de la bande originale": _BITS[Medium.SOUNDTRACK],
}
_PROMOTION = say("Write “in-context promotion” or “out-of-context advertising”.")
_ONLINE = say("Write “SVOD”, “AVOD”, “download” or “clips”.")
_HINTS = {
    "promo": _PROMOTION,
    "promos": _PROMOTION,
    "trailer": _PROMOTION,
    "trailers": _PROMOTION,
    "internet": _ONLINE,
    "digital": _ONLINE,
    "new media": _ONLINE,
    "online": _ONLINE,
}


@lru_cache(maxsize=1)
def _vocabulary() -> Vocabulary:
    names: dict[str, int] = dict(_GROUPS)
    for medium, bit in _BITS.items():
        names[medium.value] = names[medium.label] = bit
    for mask, others in _OTHER_NAMES.items():
        names.update(dict.fromkeys(others, mask))
    return Vocabulary(say("medium"), _GROUPS[0][0], names, _HINTS, _FRENCH)


@lru_cache(maxsize=4096)
def _read(text: str) -> int:
    return read(text, _vocabulary())


@dataclass(frozen=True)
class Media:
    """A set of media; ``mask`` has one bit a ``Medium`` in the order of the enumeration."""

    mask: int

    @classmethod
    def parse(cls, text: str, *, place: str = "media") -> Media:
        """Reads "SVOD, AVOD", "all media excl. theatrical", "all TV + download"; BadValue with a mend otherwise."""
        try:
            return cls(_read(text))
        except BadValue as refusal:
            raise BadValue(refusal.code, refusal.text, place=place, mend=refusal.mend) from None

    @classmethod
    def of(cls, *media: Medium) -> Media:
        """The set of these media."""
        return cls(_mask(*set(media)))

    @property
    def media(self) -> frozenset[Medium]:
        """The leaves in it."""
        return frozenset(medium for medium in Medium if self.mask & _BITS[medium])

    @property
    def codes(self) -> tuple[str, ...]:
        """The shortest list of codes that ``parse`` reads one by one: ("all",), ("svod", "avod"), ("all", "soundtrack").

        All media with at most two left out is one entry, "all excl. theatrical".
        """
        if self.mask & _ALL == _ALL:
            return ("all", *_leaf_codes(self.mask & ~_ALL))
        left_out = _leaf_codes(_ALL & ~self.mask)
        if len(left_out) <= _FEW:
            return (f"all excl. {', '.join(left_out)}", *_leaf_codes(self.mask & ~_ALL))
        return _leaf_codes(self.mask)

    @cached_property
    def text(self) -> str:
        """The shortest readable text, which ``parse`` reads back: "all media excl. theatrical", "all TV + SVOD"."""
        if not self.mask:
            return say("no medium")
        left_out = _ALL & ~self.mask
        listed = joined(_labels(self.mask, _GROUPS), between=" + ")
        if not self.mask & _ALL or left_out.bit_count() > left_out_limit(self.mask):
            return listed
        extra = _labels(self.mask & ~_ALL, ())
        if not left_out:
            return joined((_GROUPS[0][0], *extra), between=" + ")
        out = joined(_labels(left_out, _GROUPS[1:]), between=", ")
        if not extra:
            return say("all media excl. {left_out}", left_out=out)
        return joined((say("(all media excl. {left_out})", left_out=out), *extra), between=" + ")

    @property
    def is_empty(self) -> bool:
        """Whether no medium is in it."""
        return self.mask == 0

    def contains(self, other: Media | Medium) -> bool:
        """Whether a medium or the whole of a set lies in it."""
        inner = other.mask if isinstance(other, Media) else _BITS[other]
        return inner & ~self.mask == 0

    def overlaps(self, other: Media) -> bool:
        """Whether they share a medium."""
        return bool(self.mask & other.mask)

    def __or__(self, other: Media) -> Media:
        return Media(self.mask | other.mask)

    def __and__(self, other: Media) -> Media:
        return Media(self.mask & other.mask)

    def __sub__(self, other: Media) -> Media:
        return Media(self.mask & ~other.mask)

    def __str__(self) -> str:
        return self.text


def media_said(stored: str) -> str:
    """Media as they are stored, so that they can be told in any language; other text is given back as it is."""
    return said(stored, Media.parse)


_FEW = 2

ALL_MEDIA = Media(_ALL)
EVERY_MEDIUM = Media(_mask(*Medium))


def left_out_limit(mask: int) -> int:
    """How many media may be left out of "all media" before a plain list reads better."""
    return (mask & _ALL).bit_count() // 2


def _leaf_codes(mask: int) -> tuple[str, ...]:
    return tuple(medium.value for medium in Medium if mask & _BITS[medium])


def _labels(mask: int, groups: Iterable[tuple[str, int]]) -> tuple[str, ...]:
    """Labels of the groups that lie wholly in the set and of the media they leave, in the order of the tree."""
    labels = []
    for label, group in groups:
        if group & ~mask == 0:
            labels.append((group, label))
            mask &= ~group
    labels += [(_BITS[medium], medium.label) for medium in Medium if mask & _BITS[medium]]
    return tuple(label for _, label in sorted(labels))


def media_union(sets: Iterable[Media]) -> Media:
    """Everything in any of them."""
    mask = 0
    for media in sets:
        mask |= media.mask
    return Media(mask)
