"""End credits: customary wording is ``common practice, no published source``; what licences require stands verbatim."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.credit_checks import check_credits
from supervision.rules.credit_style import CreditStyle, MasterWords, read_style
from supervision.rules.credit_words import CREDIT_WORDS, Part, joined, parts_in, read_credit_language, wrapped_lines
from supervision.rules.credits import (
    CreditFacts,
    CreditMaster,
    CreditName,
    CreditOwner,
    CreditSong,
    CreditWork,
    RequiredWording,
    set_credits,
)
from supervision.rules.errors import BadValue

REED, ALDER = CreditName(name="Ida Reed", role="CA", society="PRS"), CreditName(name="Bo Alder", role="CA")
HARBOUR = CreditName(name="Reed Harbour Music", role="E", society="PRS")
TIDE = CreditWork(title="Evening Tide", writers=(REED, ALDER), publishers=(HARBOUR,))
HEARD = CreditMaster(title="Evening Tide", artist="The Lockkeepers", owners=(CreditOwner(name="Weirside Records"),))
STYLE = CreditStyle()


def song(*required, works=(TIDE,), master=HEARD, **more):
    return CreditSong(title="Evening Tide", cues=("1M1",), works=works, master=master, required=required, **more)


def wording(text, holder="Weirside Records", side="master", **more):
    return RequiredWording(clearance=1, side=side, holder=holder, text=text, **more)


def of(*songs, style=STYLE, **more):
    facts = {"cut_locked": True} | more
    return set_credits(
        CreditFacts(production="The Weir", episode="101", code="WEIR-101", cut="Locked cut", songs=songs, **facts),
        style,
    )


def lines(*songs, style=STYLE):
    return [line for block in of(*songs, style=style).blocks for line in block.text]


def codes(credits_):
    return [finding.code for finding in check_credits(credits_)]


def test_customary_block_names_title_writers_publisher_performer_and_owner():
    assert lines(song()) == [
        "“Evening Tide”",
        "Written by Ida Reed & Bo Alder",
        "Published by Reed Harbour Music (PRS)",
        "Performed by The Lockkeepers",
        "Courtesy of Weirside Records",
    ]


def test_french_block_speaks_french():
    assert lines(song(), style=CreditStyle(language="fr", ampersand=False)) == [
        "« Evening Tide »",
        "Paroles et musique : Ida Reed et Bo Alder",
        "Éditions : Reed Harbour Music (PRS)",
        "Interprété par The Lockkeepers",
        "Avec l’aimable autorisation de Weirside Records",
    ]


def test_both_languages_say_the_same_things():
    assert set(CREDIT_WORDS["en"]) == set(CREDIT_WORDS["fr"])


def test_music_and_lyrics_stand_apart_where_that_is_asked():
    work = CreditWork(
        title="Sluice",
        writers=(CreditName(name="Bo", role="C"), CreditName(name="Ann", role="A"), CreditName(name="Cy", role="CA")),
    )
    told = lines(song(works=(work,), master=None), style=CreditStyle(split=True))
    assert told[1:] == ["Music by Bo & Cy", "Lyrics by Ann & Cy"]


def test_split_without_a_lyricist_has_no_line_of_lyrics():
    work = CreditWork(title="Sluice", writers=(CreditName(name="Bo", role="C"), CreditName(name="Ann", role="C")))
    assert lines(song(works=(work,), master=None), style=CreditStyle(split=True))[1:] == ["Composed by Bo & Ann"]
    text = CreditWork(title="Sluice", writers=(CreditName(name="Ann", role="A"),))
    assert lines(song(works=(text,), master=None), style=CreditStyle(split=True))[1:] == ["Lyrics by Ann"]


@pytest.mark.parametrize(
    ("writers", "told"),
    [
        ([("Traditional", "C"), ("Tove Marsh", "AR")], ["Traditional, arranged by Tove Marsh"]),
        ([("Traditional", "C")], ["Traditional"]),
        ([("Tove Marsh", "AR")], ["Traditional, arranged by Tove Marsh"]),
        ([("Ida Reed", "C"), ("Tove Marsh", "AR")], ["Composed by Ida Reed", "Arranged by Tove Marsh"]),
        (
            [("Ida Reed", "CA"), ("Ann Fen", "AD"), ("Cy Brook", "TR"), ("Somebody", "PA")],
            ["Written by Ida Reed", "Adapted by Ann Fen", "Translated by Cy Brook"],
        ),
    ],
)
def test_old_music_names_its_arranger(writers, told):
    names = tuple(CreditName(name=name, role=role) for name, role in writers)
    assert lines(song(works=(CreditWork(title="Bells", writers=names, public_domain=True),), master=None))[1:] == told


def test_medley_names_the_writers_of_each_work():
    medley = song(works=(TIDE, CreditWork(title="Towpath", writers=(ALDER,), publishers=(HARBOUR,))), master=None)
    assert lines(replace(medley, title="Boatmen's Medley")) == [
        "“Boatmen's Medley”",
        "“Evening Tide”",
        "Written by Ida Reed & Bo Alder",
        "“Towpath”",
        "Written by Bo Alder",
        "Published by Reed Harbour Music (PRS)",
    ]


def test_administrators_stand_behind_whom_they_administer():
    work = replace(TIDE, publishers=(replace(HARBOUR, administrator="Upper Lock Songs"),))
    assert "Published by Reed Harbour Music (PRS), administered by Upper Lock Songs" in lines(
        song(works=(work,)), style=CreditStyle(line_length=200)
    )
    alone = replace(TIDE, publishers=(CreditName(name="Upper Lock Songs", role="AM"),))
    assert "Published by Upper Lock Songs" in lines(song(works=(alone,)))
    beside = replace(TIDE, publishers=(HARBOUR, CreditName(name="Upper Lock Songs", role="SE")))
    assert "Published by Reed Harbour Music (PRS)" in lines(song(works=(beside,)))


def test_publishers_are_left_out_where_that_is_asked():
    style = CreditStyle(publishers=False)
    assert not any("Published" in line for line in lines(song(), style=style))
    assert of(style=style, score=(TIDE,)).score[0].text == "Music by Ida Reed & Bo Alder"
    assert len(of(style=style, score=(TIDE,)).score) == 1


@pytest.mark.parametrize(
    ("master", "told"),
    [
        (replace(HEARD, owners=(CreditOwner(name="A"), CreditOwner(name="B"))), ["Courtesy of A & B"]),
        (
            replace(HEARD, owners=(CreditOwner(name="A", administrator="C"),)),
            ["Courtesy of A, by arrangement with C"],
        ),
        (replace(HEARD, owners=(), label="Millrace Library"), ["Courtesy of Millrace Library"]),
        (replace(HEARD, owners=(CreditOwner(name="Weir Pictures", ours=True),)), []),
        (replace(HEARD, public_domain=True), []),
        (replace(HEARD, owners=()), []),
    ],
)
def test_owner_of_the_recording(master, told):
    assert lines(song(master=master))[4:] == told


def test_samples_stand_before_the_courtesy():
    told = lines(song(master=replace(HEARD, samples=("“Night Ferry” by Cy Brook",))))
    assert told[4:] == ["Contains a sample of “Night Ferry” by Cy Brook", "Courtesy of Weirside Records"]


def test_other_phrases_for_the_owner():
    assert lines(song(), style=CreditStyle(master=MasterWords.LICENCE))[-1] == "Under licence from Weirside Records"
    assert MasterWords.ARRANGEMENT.label == "By arrangement with"


# --- required wording -----------------------------------------------------------------------------------------------


def test_required_wording_replaces_the_part_that_it_states_and_no_other():
    told = of(song(wording("Courtesy of Weirside Records,\nunder exclusive licence")))
    assert told.blocks[0].text == [
        "“Evening Tide”",
        "Written by Ida Reed & Bo Alder",
        "Published by Reed Harbour Music (PRS)",
        "Performed by The Lockkeepers",
        "Courtesy of Weirside Records,",
        "under exclusive licence",
    ]
    assert [line.required for line in told.blocks[0].lines] == [False] * 4 + [True] * 2


def test_whole_block_that_is_required_stands_alone():
    whole = (
        '"Evening Tide"\nby I. Reed\nWritten by I. Reed and B. Alder\nPublished by RHM\nPerformed by the Lockkeepers'
    )
    told = lines(song(wording(f"{whole}\nCourtesy of Weirside Records"), works=(replace(TIDE, publishers=()),)))
    assert told == [*whole.splitlines(), "Courtesy of Weirside Records"]


def test_publisher_that_no_wording_names_is_still_named():
    work = replace(TIDE, publishers=(HARBOUR, CreditName(name="Upper Lock Songs", role="E")))
    told = lines(
        song(wording("Published by Reed Harbour Music Ltd (PRS)", "Reed Harbour Music", "sync"), works=(work,))
    )
    assert told[2:4] == ["Published by Reed Harbour Music Ltd (PRS)", "Published by Upper Lock Songs"]


def test_owner_that_no_wording_names_is_still_named():
    master = replace(HEARD, owners=(CreditOwner(name="Weirside Records"), CreditOwner(name="Upper Lock Discs")))
    told = lines(song(wording("℗ 1999 Weirside Records"), master=master))
    assert told[-2:] == ["℗ 1999 Weirside Records", "Courtesy of Upper Lock Discs"]


def test_two_wordings_that_fit_together_both_stand():
    told = lines(
        song(
            wording("Published by Reed Harbour Music (PRS)", "Reed Harbour Music", "sync"),
            wording("Performed by The Lockkeepers\nCourtesy of Weirside Records"),
        )
    )
    assert told[2:] == [
        "Published by Reed Harbour Music (PRS)",
        "Performed by The Lockkeepers",
        "Courtesy of Weirside Records",
    ]


def test_line_that_two_wordings_require_is_printed_once():
    first = wording("“Evening Tide”\nPublished by Reed Harbour Music", "Reed Harbour Music", "sync")
    told = of(song(first, wording("“Evening Tide”\nCourtesy of Weirside Records")))
    assert told.blocks[0].text.count("“Evening Tide”") == 1
    assert "wordings-differ" not in codes(told)


def test_same_wording_for_two_uses_is_printed_once():
    told = lines(song(wording("Courtesy of Weirside Records"), wording("Courtesy of Weirside Records")))
    assert told.count("Courtesy of Weirside Records") == 1


def test_wordings_that_contradict_each_other_are_told_and_both_printed():
    told = of(
        song(
            wording("Written by I. Reed & B. Alder", "Reed Harbour Music", "sync"),
            wording("Written by Ida Reed with Bo Alder\nCourtesy of Weirside Records"),
        )
    )
    found = next(finding for finding in check_credits(told) if finding.code == "wordings-differ")
    assert found.text == "Reed Harbour Music and Weirside Records say differently who wrote it. Both are printed."
    assert {"Written by I. Reed & B. Alder", "Written by Ida Reed with Bo Alder"} <= set(told.blocks[0].text)


@pytest.mark.parametrize(
    ("side", "after"), [("sync", "Written by Ida Reed & Bo Alder"), ("master", "Performed by The Lockkeepers")]
)
def test_wording_that_states_nothing_known_stands_with_its_side(side, after):
    told = lines(song(wording("With thanks to the river", side=side)))
    assert told[told.index("With thanks to the river") - 1] == after


def test_writer_whom_the_required_wording_leaves_out_is_told():
    told = of(song(wording("Written by Ida Reed", "Reed Harbour Music", "sync")))
    assert [finding.text for finding in check_credits(told)] == ["The required wording does not name Bo Alder."]
    assert codes(of(song(wording("Written by Ida Reed / Bo Alder", "Reed Harbour Music", "sync")))) == []


def test_parts_are_recognised_in_both_languages():
    text = "« Evening Tide »\nParoles et musique : Ida Reed\nÉditions Reed\nInterprété par X\nContient un extrait de Y\nSous licence de Z"
    assert list(parts_in(text, "Evening Tide")) == list(Part)
    assert parts_in("Evening Tide", "Evening Tide") == {Part.TITLE: "Evening Tide"}
    assert parts_in("The Evening Tide Company", "Evening Tide") == {}
    assert parts_in("Courtesy", "") == {}


# --- lines ----------------------------------------------------------------------------------------------------------

TEXTS = st.text(st.characters(exclude_categories=("Cs",)), max_size=80)


@given(TEXTS, st.integers(20, 200))
def test_breaking_lines_loses_nothing_and_keeps_to_the_width(text, width):
    told = wrapped_lines(text, width)
    assert " ".join(told).split() == text.split()
    assert all(len(line) <= width or " " not in line for line in told)


@given(st.lists(TEXTS.filter(str.strip), min_size=1, max_size=4), st.integers(20, 80))
def test_every_word_that_is_required_is_printed(texts, width):
    told = of(song(*(wording(text) for text in texts)), style=CreditStyle(line_length=width))
    printed = " ".join(told.blocks[0].text).split()
    assert set(" ".join(texts).split()) <= set(printed)


def test_line_that_cannot_be_broken_is_told():
    long = song(master=replace(HEARD, artist="L" * 70))
    assert [finding.code for finding in check_credits(of(long))] == ["line-too-long"]
    assert codes(of(score=(replace(TIDE, writers=(replace(REED, name="R" * 70),)),))) == ["line-too-long"]


@pytest.mark.parametrize(
    ("names", "told"), [([], ""), (["A"], "A"), (["A", "B"], "A & B"), (["A", "B", "C"], "A, B & C")]
)
def test_names_are_joined(names, told):
    assert joined(names, "&") == told


# --- doubts ---------------------------------------------------------------------------------------------------------


def test_doubts_are_told_in_words():
    bare = song(works=(), master=CreditMaster(title="Evening Tide"), uncleared=("sync requested",))
    told = of(bare, cut_locked=False, unknown=("2M1 Something sad",), score=(CreditWork(title="Weir Theme"),))
    assert [(finding.level, finding.code) for finding in check_credits(told)] == [
        ("warning", "song-unknown"),
        ("warning", "composer-unknown"),
        ("warning", "song-uncleared"),
        ("warning", "writers-unknown"),
        ("warning", "performer-unknown"),
        ("warning", "owner-unknown"),
        ("note", "cut-not-locked"),
    ]


def test_open_approval_is_told_until_it_is_given():
    asked = wording("", approval_needed=True)
    assert codes(of(song(asked))) == ["approval-open"]
    assert codes(of(song(replace(asked, approved_by="Tove Alder", approved_on=date(2026, 11, 25))))) == []


def test_recording_in_the_public_domain_needs_no_owner():
    assert codes(of(song(master=replace(HEARD, owners=(), public_domain=True)))) == []
    assert codes(of(song(master=None))) == []


def test_score_names_its_composers_once_in_order():
    told = of(score=(TIDE, replace(TIDE, title="Second"), CreditWork(title="Third", writers=(ALDER,))))
    assert [line.text for line in told.score] == [
        "Music by Ida Reed & Bo Alder",
        "Original score published by Reed Harbour Music (PRS)",
    ]


# --- style ----------------------------------------------------------------------------------------------------------


def test_style_is_read_from_texts():
    given_style = {"language": "FR", "joiner": "and", "writers": "split", "publishers": "no", "master": "licence"}
    assert read_style(given_style | {"line_length": "40"}) == CreditStyle(
        language="fr", ampersand=False, split=True, publishers=False, master=MasterWords.LICENCE, line_length=40
    )
    assert read_style({}) == CreditStyle()


@pytest.mark.parametrize(
    ("given_style", "place"),
    [
        ({"language": "de"}, "language"),
        ({"joiner": "+"}, "joiner"),
        ({"line_length": "wide"}, "line_length"),
        ({"line_length": "19"}, "line_length"),
        ({"line_length": "²"}, "line_length"),
        ({"line_length": "9999999"}, "line_length"),
    ],
)
def test_style_that_is_not_known_is_refused_with_its_place(given_style, place):
    with pytest.raises(BadValue) as refused:
        read_style(given_style)
    assert refused.value.place == place


def test_language_without_words_is_refused():
    with pytest.raises(BadValue, match="not written in"):
        read_credit_language("xx")
