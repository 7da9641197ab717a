"""The shortest readable text for a set of countries: "World excl. CA, US", "EU + UK", "LATAM excl. BR".

Text is made of group labels and country codes, and is read back to the same set by ``Territory.parse``. Of all
texts of this form the shortest is looked for: one with at most two groups beside single countries is found exactly,
each perhaps less other groups and countries ("Europe excl. EU, CH"); more groups are added while they shorten the
text. Ties go to fewer parts, then to the alphabet, so the same set always gives the same text. Cost: about a
millisecond for a new set, nothing for one seen before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import combinations

from supervision.rules.sentence import joined, listed, say
from supervision.rules.territory_atlas import EVERYWHERE, FUTURE, codes_in, country_name
from supervision.rules.territory_groups import FUTURE_GROUP, GROUPS, WORLD_GROUP, Group

NOWHERE = say("nowhere")

# A part is a label with the labels left out of it; the empty tuple where nothing is left out.
Part = tuple[str, tuple[str, ...]]
# A part and the countries it brings.
Brought = tuple[Part, int]

_SHOWN = tuple(group for group in GROUPS if group.shown and group is not FUTURE_GROUP)
_GROUP_LABELS = frozenset(group.label for group in GROUPS)
# The only code that people don't read as its country; "UK" is reserved for it in ISO 3166-1.
_WRITTEN_CODE = {"GB": "UK"}
_READ_CODE = {"UK": "GB"}
# Countries that may be left out of a group beside another group, or added again.
_FEW = 3
# So few countries, or all but so few, are shortest one way: naming the rest of the world takes five groups and more.
_PLAIN = 12


@lru_cache(maxsize=8192)
def shortest_text(mask: int) -> str:
    """The text of a set: codes and group labels, at most one "excl." deep inside brackets."""
    if mask & FUTURE and (EVERYWHERE & ~mask).bit_count() <= _PLAIN:
        return _world_text(mask)
    if not mask & FUTURE and mask.bit_count() <= _PLAIN:
        return _listed_text(mask)
    return min(_world_text(mask), _listed_text(mask), key=lambda text: (len(text), text))


@lru_cache(maxsize=1024)
def spoken_text(mask: int) -> str:
    """The same set in words for a letter: "World excluding Canada and United States"."""
    if not shortest_text(mask).startswith("World"):
        return _spoken(_parts(mask, " + ")) if mask else NOWHERE
    left_out = EVERYWHERE & ~mask
    if not left_out:
        return WORLD_GROUP.label
    return say("World excluding {left_out}", left_out=_spoken(_parts(left_out, ", "), always_bracket=True))


def _world_text(mask: int) -> str:
    left_out = EVERYWHERE & ~mask
    if not left_out:
        return WORLD_GROUP.label
    return say("World excl. {left_out}", left_out=_joined(_parts(left_out, ", "), ", ", always_bracket=True))


def _listed_text(mask: int) -> str:
    return _joined(_parts(mask, " + "), " + ") if mask else NOWHERE


def _joined(parts: tuple[Part, ...], joint: str, *, always_bracket: bool = False) -> str:
    if len(parts) == 1 and parts[0][1] and not always_bracket:
        return say("{group} excl. {left_out}", group=parts[0][0], left_out=joined(parts[0][1], between=", "))
    return joined((_part_said(part) for part in parts), between=joint)


def _part_said(part: Part) -> str:
    label, left_out = part
    return (
        say("{group} (excl. {left_out})", group=label, left_out=joined(left_out, between=", ")) if left_out else label
    )


def _part_text(part: Part) -> str:
    """The part in English: what is compared by length."""
    label, left_out = part
    return f"{label} (excl. {', '.join(left_out)})" if left_out else label


def _spoken(parts: tuple[Part, ...], *, always_bracket: bool = False) -> str:
    if len(parts) == 1 and parts[0][1] and not always_bracket:
        return say("{group} excluding {left_out}", group=_word(parts[0][0]), left_out=_listed(parts[0][1]))
    return listed(
        say("{group} (excluding {left_out})", group=_word(label), left_out=_listed(out)) if out else _word(label)
        for label, out in parts
    )


def _listed(labels: Iterable[str]) -> str:
    return listed(map(_word, labels))


def _word(label: str) -> str:
    return label if label in _GROUP_LABELS else country_name(_READ_CODE.get(label, label))


@lru_cache(maxsize=8192)
def _parts(mask: int, joint: str, *, exclusions: bool = True) -> tuple[Part, ...]:
    """The parts whose union is the set: the cheapest choice of at most two groups, then greedy additions."""
    useful = _useful(mask, joint, exclusions=exclusions)
    best: tuple[Brought, ...] = ()
    for count in (1, 2):
        for chosen in combinations(useful, count):
            best = min(best, chosen, key=lambda groups: _cost(mask, joint, groups))
    while (longer := _one_more(mask, joint, best, useful)) != best:
        best = longer
    return _completed(mask, best)


def _one_more(mask: int, joint: str, chosen: tuple[Brought, ...], useful: list[Brought]) -> tuple[Brought, ...]:
    """The chosen groups with the one further group that shortens the text most, or as they are."""
    longer = [(*chosen, group) for group in useful if group not in chosen]
    return min((chosen, *longer), key=lambda groups: _cost(mask, joint, groups))


def _useful(mask: int, joint: str, *, exclusions: bool) -> list[Brought]:
    """Groups that are shorter than listing the countries they bring, with no more exclusions than people can read."""
    found = []
    for group in _SHOWN:
        brought, outside = group.mask & mask, group.mask & ~mask
        if outside and not exclusions:
            continue
        if outside.bit_count() * 2 <= brought.bit_count():
            left_out = tuple(label for label, _ in _parts(outside, ", ", exclusions=False))
            found.append(((group.label, left_out), brought))
        if brought and outside.bit_count() > 1:
            found.extend(_less_another(group, brought, outside))
    return [
        (part, brought)
        for part, brought in found
        if len(_part_text(part)) < brought.bit_count() * (2 + len(joint)) - len(joint)
    ]


def _less_another(group: Group, brought: int, outside: int) -> Iterator[Brought]:
    """The group less another group and few countries: "Europe excl. EU, CH". What the other takes too much is left over.

    The other may hold countries that this one lacks: the EU's Cyprus lies in Asia.
    """
    for label, shared in _overlapping(group.label):
        others = outside & ~shared
        if others.bit_count() <= _FEW and (shared & brought).bit_count() <= _FEW:
            codes = sorted(_WRITTEN_CODE.get(code, code) for code in codes_in(others))
            yield (group.label, (label, *codes)), brought & ~shared


@lru_cache(maxsize=len(_SHOWN))
def _overlapping(label: str) -> tuple[tuple[str, int], ...]:
    """The other groups that share more than one country with this one, and which they share."""
    mask = next(group.mask for group in _SHOWN if group.label == label)
    shared = ((other.label, other.mask & mask) for other in _SHOWN if other.label != label)
    return tuple((other, countries) for other, countries in shared if countries.bit_count() > 1)


def _rest(mask: int, chosen: Iterable[Brought]) -> int:
    for _, brought in chosen:
        mask &= ~brought
    return mask


def _cost(mask: int, joint: str, chosen: tuple[Brought, ...]) -> tuple[int, int, list[Part]]:
    """Length of the text, number of its parts, and the parts themselves so that ties have one winner."""
    singles = (_rest(mask, chosen) & ~FUTURE).bit_count()
    groups = sorted(part for part, _ in chosen)
    length = singles * (2 + len(joint)) + sum(len(_part_text(part)) + len(joint) for part in groups)
    return length, singles + len(groups), groups


def _completed(mask: int, chosen: tuple[Brought, ...]) -> tuple[Part, ...]:
    """The chosen groups and, for what they don't bring, single countries: groups first, each in order."""
    rest = _rest(mask, chosen)
    singles = sorted(_WRITTEN_CODE.get(code, code) for code in codes_in(rest & ~FUTURE))
    if rest & FUTURE:
        singles.append(FUTURE_GROUP.label)
    return (*sorted(part for part, _ in chosen), *((label, ()) for label in singles))
