"""Who is paid by a cue sheet, and whether the societies can tell: shares, roles, identifiers, societies.

Shares are checked by ``shares`` against the published edits and tolerance of CISAC CWR19-1070 (edits 4, 9, 11, 12, 15,
24, 46, 47); edit 48 is here, as a warning, since a sheet is no registration. Check digits are those of ``identifiers``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from supervision.rules.cue_sheet import CueSheetFacts, Interest, PlacedUse, StatedParty, StatedWork
from supervision.rules.cue_sheet_profile import Demand, SheetProfile
from supervision.rules.cue_sheet_setting import cue_place, parties_in
from supervision.rules.findings import Finding, Level
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.party_roles import read_role
from supervision.rules.sentence import counted, joined, listed, say
from supervision.rules.shares import Convention, ShareEntry, check_shares

MOST_NAMED = 3
Telling = Callable[[str], str]  # the sentence that names these cues

#: Societies of the United States by their codes (CISAC CWR08-3615R1): edit 48 is about these.
_AMERICAN = {"010": "ASCAP", "021": "BMI", "071": "SESAC", "778": "GMR", "017": "AMRA", "786": "ALLTRACK"}
#: Codes of societies (CISAC CWR08-3615R1) that are known here; 099 says that there is none.
_SOCIETIES = frozenset(
    [
        "001",
        "005",
        "008",
        "010",
        "011",
        "012",
        "017",
        "021",
        "023",
        "034",
        "035",
        "036",
        "038",
        "040",
        "044",
        "048",
        "052",
        "055",
        "058",
        "063",
        "068",
        "071",
        "072",
        "074",
        "078",
        "079",
        "080",
        "088",
        "089",
        "090",
        "093",
        "097",
        "099",
        "101",
        "118",
        "119",
        "128",
        "778",
        "786",
    ]
)


def level_of(demand: Demand, profile: SheetProfile, otherwise: Level) -> Level:
    """An error where the profile demands it."""
    return Level.ERROR if profile.wants(demand) else otherwise


def check_shares_of(work: StatedWork, country: str, profile: SheetProfile) -> list[Finding]:
    """Findings on the shares that hold in the country; a work out of copyright may lack parties."""
    parties = parties_in(work.parties, country)
    if work.public_domain and not parties:
        text = say("“{title}” is in the public domain and names no writer.", title=work.title)
        mend = say("Name the writer, or “Traditional”.")
        return [Finding(Level.WARNING, "no-parties", say("writers"), text, mend)]
    entries = [_entry(party, free=work.public_domain) for party in parties]
    found = [_demanded(finding, profile) for finding in check_shares(entries, Convention.TWO_HUNDRED)]
    return [*found, *_publishers_elsewhere(parties)]


def _entry(party: StatedParty, *, free: bool) -> ShareEntry:
    writer = party.interest is Interest.WRITER
    return ShareEntry(
        party.name, read_role(party.role, writer=writer), party.share, party.public_domain or (free and writer)
    )


def _demanded(finding: Finding, profile: SheetProfile) -> Finding:
    if finding.code == "no-publisher" and profile.wants(Demand.PUBLISHER):
        return replace(finding, level=Level.ERROR)
    return finding


def _publishers_elsewhere(parties: Iterable[StatedParty]) -> Iterator[Finding]:
    """Edit 48: the publisher of a writer of an American society is with the same one, or with none of them."""
    named = list(parties)
    publishers = [party for party in named if party.interest is Interest.PUBLISHER]
    american = {party.society_code for party in publishers} & _AMERICAN.keys()
    for writer in (party for party in named if party.interest is Interest.WRITER and not party.public_domain):
        if writer.society_code in _AMERICAN and american and writer.society_code not in american:
            own = _AMERICAN[writer.society_code]
            text = say(
                "{name} is with {own}, and the American publishers are with {others}.",
                name=writer.name,
                own=own,
                others=listed(sorted(_AMERICAN[code] for code in american)),
            )
            mend = say("Name the {own} company of the publisher (CISAC CWR19-1070, edit 48).", own=own)
            yield Finding(Level.WARNING, "publisher-of-another-society", writer.name, text, mend)


# --- identities ---------------------------------------------------------------------------------------------------


def check_identities(facts: CueSheetFacts, profile: SheetProfile) -> Iterator[Finding]:
    """One finding a party and lack, however many cues it is in."""
    lacks: tuple[tuple[str, Demand, Telling, str, Callable[[StatedParty], bool]], ...] = (
        (
            "society-missing",
            Demand.SOCIETY,
            lambda cues: say("No society is known ({cues}).", cues=cues),
            say("Give the society, or 099 for none."),
            lambda party: not party.society_code,
        ),
        (
            "ipi-missing",
            Demand.IPI,
            lambda cues: say("No IPI name number is known ({cues}).", cues=cues),
            say("Give it in the catalogue."),
            lambda party: not party.ipi,
        ),
    )
    paid = [(use.number or cue_place(use), party) for use in facts.uses for party in _paid(use, facts.header.country)]
    for code, demand, telling, mend, lacking in lacks:
        level = level_of(demand, profile, Level.WARNING)
        yield from _grouped(level, code, telling, mend, ((party.name, cue) for cue, party in paid if lacking(party)))
    strange = ((party.name, cue) for cue, party in paid if party.society_code and party.society_code not in _SOCIETIES)
    mend = say("Check the code against CISAC's list of societies.")
    yield from _grouped(
        Level.WARNING,
        "society-unknown",
        lambda cues: say("Its society is not among those known here ({cues}).", cues=cues),
        mend,
        strange,
    )


def check_identifiers(facts: CueSheetFacts, profile: SheetProfile) -> Iterator[Finding]:
    """Identifiers with a wrong shape or check digit, and works without an ISWC."""
    wrong: defaultdict[tuple[Scheme, str, str], list[str]] = defaultdict(list)
    nameless: list[tuple[str, str]] = []
    for use in facts.uses:
        cue = use.number or cue_place(use)
        for scheme, value, name in _identifiers(use, facts.header.country):
            if not check_identifier(scheme, value).valid:
                wrong[scheme, value, name].append(cue)
        nameless += [(work.title, cue) for work in use.works if not work.iswc and not work.public_domain]
    for (scheme, value, name), cues in wrong.items():
        text = say("{value} is no {scheme} ({cues}).", value=value, scheme=scheme.label, cues=some_of(cues))
        mend = say("Ask whoever gave it, and put it right in the catalogue.")
        yield Finding(Level.ERROR, f"{scheme}-malformed", name or value, text, mend)
    mend = say("Give it in the work, when it has one.")
    if profile.wants(Demand.ISWC):
        yield from _grouped(
            Level.ERROR, "iswc-missing", lambda cues: say("No ISWC is known ({cues}).", cues=cues), mend, nameless
        )
    elif nameless:
        text = say("No ISWC is known of {works}.", works=some_of(title for title, _ in nameless))
        yield Finding(Level.NOTE, "iswc-missing", say("Works"), text, mend)


def _identifiers(use: PlacedUse, country: str) -> Iterator[tuple[Scheme, str, str]]:
    for work in use.works:
        if work.iswc:
            yield Scheme.ISWC, work.iswc, work.title
        for party in parties_in(work.parties, country):
            if party.ipi:
                yield Scheme.IPI, party.ipi, party.name
    if use.recording and use.recording.isrc:
        yield Scheme.ISRC, use.recording.isrc, use.recording.title


def _grouped(
    level: Level, code: str, telling: Telling, mend: str, lacking: Iterable[tuple[str, str]]
) -> Iterator[Finding]:
    cues: defaultdict[str, list[str]] = defaultdict(list)
    for name, cue in lacking:
        cues[name].append(cue)
    for name, places in cues.items():
        yield Finding(level, code, name or say("Unnamed party"), telling(some_of(places)), mend)


def _paid(use: PlacedUse, country: str) -> list[StatedParty]:
    """The parties of a cue that are paid, and so must be known to a society."""
    works = [work for work in use.works if not work.public_domain]
    return [party for work in works for party in parties_in(work.parties, country) if not party.public_domain]


def some_of(names: Iterable[str]) -> str:
    """The first few names, each once, and how many more there are."""
    distinct = list(dict.fromkeys(names))
    named = joined(distinct[:MOST_NAMED], between=", ")
    more = len(distinct) - MOST_NAMED
    return counted(more, "{names} and {number} more", "{names} and {number} more", names=named) if more > 0 else named
