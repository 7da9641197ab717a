"""Media: the tree, its words and its shortest text: common practice, no published source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.media import ALL_MEDIA, EVERY_MEDIUM, Media, Medium, media_union

ALL_TV = Media.of(Medium.FREE_TV, Medium.PAY_TV)
sets = st.integers(0, EVERY_MEDIUM.mask).map(Media)


def test_media_codes_do_not_change():
    """The database and the API hold these codes."""
    assert [medium.value for medium in Medium] == [
        "theatrical",
        "festival",
        "free_tv",
        "pay_tv",
        "svod",
        "avod",
        "download",
        "physical",
        "non_theatrical",
        "clips",
        "in_context_promo",
        "interactive",
        "out_of_context_promo",
        "soundtrack",
    ]


def test_all_media_leaves_out_what_leaves_the_picture():
    assert (EVERY_MEDIUM - ALL_MEDIA).media == {Medium.OUT_OF_CONTEXT_PROMO, Medium.SOUNDTRACK}
    assert Media.parse("all media, soundtrack, out-of-context advertising") == EVERY_MEDIUM


@pytest.mark.parametrize("medium", list(Medium))
def test_parse_code_and_label(medium):
    assert Media.parse(medium.value) == Media.parse(medium.label) == Media.of(medium)


@pytest.mark.parametrize(
    ("words", "media"),
    [
        ("all", ALL_MEDIA),
        ("all media", ALL_MEDIA),
        ("All media now known or hereafter devised", ALL_MEDIA),
        ("any and all media", ALL_MEDIA),
        ("all TV", ALL_TV),
        ("television", ALL_TV),
        ("all_tv", ALL_TV),
        ("VOD", Media.of(Medium.SVOD, Medium.AVOD, Medium.DOWNLOAD)),
        ("streaming", Media.of(Medium.SVOD, Medium.AVOD)),
        ("home video", Media.of(Medium.DOWNLOAD, Medium.PHYSICAL)),
        ("TVOD", Media.of(Medium.DOWNLOAD)),
        ("DVD & Blu-ray", Media.of(Medium.PHYSICAL)),
        ("in-flight", Media.of(Medium.NON_THEATRICAL)),
        ("film festivals", Media.of(Medium.FESTIVAL)),
        ("games", Media.of(Medium.INTERACTIVE)),
        ("album", Media.of(Medium.SOUNDTRACK)),
        ("cinemas", Media.of(Medium.THEATRICAL)),
        ("cable", Media.of(Medium.PAY_TV)),
        ("free-to-air", Media.of(Medium.FREE_TV)),
        ("social media", Media.of(Medium.CLIPS)),
        ("in-context promos", Media.of(Medium.IN_CONTEXT_PROMO)),
        ("advertising", Media.of(Medium.OUT_OF_CONTEXT_PROMO)),
        ("SVOD, AVOD", Media.of(Medium.AVOD, Medium.SVOD)),
        ("all excl. theatrical", ALL_MEDIA - Media.of(Medium.THEATRICAL)),
        ("all media excl. theatrical, festival", ALL_MEDIA - Media.of(Medium.THEATRICAL, Medium.FESTIVAL)),
        ("all TV + download", ALL_TV | Media.of(Medium.DOWNLOAD)),
    ],
)
def test_parse_words(words, media):
    assert Media.parse(words) == media


@pytest.mark.parametrize(
    "word", ["promo", "promos", "trailer", "trailers", "internet", "digital", "new media", "online"]
)
def test_parse_word_without_one_meaning_is_refused(word):
    with pytest.raises(BadValue) as caught:
        Media.parse(word, place="grant")
    assert (caught.value.code, caught.value.place) == ("medium-ambiguous", "grant")
    assert caught.value.mend.startswith("Write “")


def test_parse_refused():
    with pytest.raises(BadValue) as caught:
        Media.parse("SVDO", place="plan")
    assert str(caught.value) == "There is no medium “svdo”. Did you mean SVOD?"
    assert (caught.value.code, caught.value.place) == ("medium-unknown", "plan")
    with pytest.raises(BadValue, match="Write for example “all media”"):
        Media.parse("")


@pytest.mark.parametrize(
    ("words", "text", "codes"),
    [
        ("all", "all media", ("all",)),
        ("all excl. theatrical", "all media excl. theatrical", ("all excl. theatrical",)),
        ("all excl. theatrical, festival", "all media excl. theatrical, festival", ("all excl. theatrical, festival",)),
        ("all excl. VOD", "all media excl. VOD", None),
        ("all + soundtrack", "all media + soundtrack album", ("all", "soundtrack")),
        (
            "(all excl. clips) + soundtrack",
            "(all media excl. clips) + soundtrack album",
            ("all excl. clips", "soundtrack"),
        ),
        ("SVOD", "SVOD", ("svod",)),
        ("AVOD, SVOD", "SVOD + AVOD", ("svod", "avod")),
        ("VOD", "VOD", ("svod", "avod", "download")),
        ("pay TV, free TV, SVOD", "all TV + SVOD", ("free_tv", "pay_tv", "svod")),
        ("soundtrack, festival", "festival + soundtrack album", ("festival", "soundtrack")),
        ("SVOD, AVOD, theatrical, free TV", "theatrical + free TV + SVOD + AVOD", None),
    ],
)
def test_text_and_codes(words, text, codes):
    media = Media.parse(words)
    assert (media.text, str(media)) == (text, text)
    assert codes is None or media.codes == codes


def test_text_and_codes_of_every_set_read_back():
    for mask in range(1, EVERY_MEDIUM.mask + 1):
        media = Media(mask)
        assert Media.parse(media.text) == media
        assert media_union(Media.parse(code) for code in media.codes) == media


def test_no_medium():
    nothing = Media(0)
    assert nothing.is_empty
    assert nothing.text == "no medium"
    assert nothing.codes == ()
    assert Media.of() == media_union([]) == nothing


@given(sets, sets)
def test_operators_are_those_of_sets(one, other):
    assert (one | other).media == one.media | other.media
    assert (one & other).media == one.media & other.media
    assert (one - other).media == one.media - other.media
    assert one.contains(other) == (other.media <= one.media)
    assert one.overlaps(other) == bool(one.media & other.media)
    assert one.is_empty == (not one.media)
    assert {medium for medium in Medium if one.contains(medium)} == one.media
    assert Media.of(*one.media) == one
