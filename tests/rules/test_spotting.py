"""What a log says about itself. Common practice, no published source, but where a test names one."""

import pytest

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.findings import Level
from supervision.rules.spotting import Entry, check_log, check_rate, check_span, read_in, read_out
from supervision.rules.timecode import parse_rate, parse_timecode
from supervision.rules.usage import Facets, Function, Origin

PAL = parse_rate("25")
FILM = parse_rate("23.976")
DROP = parse_rate("29.97 DF")
START = 25 * 3600 * 10
PROGRAMME = Span(START, START + 25 * 60 * 45)


def entry(key, start=None, end=None, **told):
    """A song that is chosen and numbered; ``start`` and ``end`` are seconds of the programme."""
    span = None if start is None else Span(START + 25 * start, START + 25 * end)
    return Entry(
        key, **{"name": f"1M{key}", "cue_number": f"1M{key}", "facets": Facets(), "span": span, "song": True} | told
    )


def codes(entries, *, series=True):
    found = check_log(entries, PROGRAMME, PAL, series=series)
    return {key: [finding.code for finding in findings] for key, findings in found.items()}


# --- in and out as people write them ---------------------------------------------------------------------------------


# SMPTE ST 12-1: 01:02:14:10 at 25 is ((1·60 + 2)·60 + 14)·25 + 10.
@pytest.mark.parametrize("text", ["01:02:14:10", "1021410", "1.2.14.10"])
def test_read_in_takes_timecode_in_every_shape(text):
    assert read_in(text, PAL) == 93360


def test_read_in_names_the_field_and_the_mend():
    with pytest.raises(BadValue) as caught:
        read_in("01:02:14:25", PAL)
    assert caught.value.place == "in_timecode"
    assert caught.value.mend == "The last frame is 24."


@pytest.mark.parametrize(
    ("text", "frames"),
    [
        ("01:02:47:10", 33 * 25),
        ("1024710", 33 * 25),
        ("+33s", 33 * 25),
        ("+ 33 S", 33 * 25),
        ("+0:33", 33 * 25),
        ("+1:02:03", 3723 * 25),
        ("+00:00:33:10", 33 * 25 + 10),
    ],
)
def test_read_out_takes_timecode_or_length(text, frames):
    start = parse_timecode("01:02:14:10", PAL)
    assert read_out(text, start, PAL) == start + frames


def test_read_out_length_is_real_time_at_the_nearest_frame():
    # 33 s × 24000/1001 = 791.2 frames at 23.976; 3600 s × 30000/1001 = 107892.1 at 29.97.
    assert read_out("+33s", 1000, FILM) == 1000 + 791
    assert read_out("+60:00", 1000, DROP) == 1000 + 107892


@pytest.mark.parametrize("text", ["+33", "+0:61", "+", "+-3s", "+0s", "later", ""])
def test_read_out_refuses_what_is_neither(text):
    with pytest.raises(BadValue) as caught:
        read_out(text, 1000, PAL)
    assert caught.value.place == "out_timecode"


def test_read_out_asks_what_a_bare_number_counts():
    with pytest.raises(BadValue, match=r"“\+33” may be seconds, minutes or frames.") as caught:
        read_out("+33", 1000, PAL)
    assert caught.value.mend == "Write +33s for seconds, or +0:33 for minutes and seconds."


def test_read_out_after_midnight_counts_on():
    late = parse_timecode("23:50:00:00", PAL)
    assert read_out("00:10:00:00", late, PAL, cut_start=late) == late + 20 * 60 * 25
    assert read_in("23:40:00:00", PAL, cut_start=late) == late - 10 * 60 * 25


def test_check_span_refuses_what_lasts_nothing():
    with pytest.raises(BadValue, match="lasts nothing"):
        check_span(100, 100)


def test_check_span_refuses_an_end_before_the_start():
    with pytest.raises(BadValue, match="ends before it starts"):
        check_span(100, 99)


def test_check_span_of_one_frame():
    assert check_span(100, 101) == Span(100, 101)


# --- findings --------------------------------------------------------------------------------------------------------


def test_check_log_in_order_finds_nothing():
    assert codes([entry(1, 0, 60), entry(2, 60, 90), entry(3)]) == {}


def test_check_log_overlap_is_told_at_both():
    found = check_log([entry(1, 0, 60), entry(2, 56, 90), entry(3, 90, 95)], PROGRAMME, PAL, series=True)
    assert {key: [finding.text for finding in findings] for key, findings in found.items()} == {
        1: ["It overlaps 1M2 by 0:04."],
        2: ["It overlaps 1M1 by 0:04."],
    }
    assert found[1][0].level is Level.WARNING


def test_check_log_overlap_of_many_names_three():
    found = check_log([entry(key, 0, 60) for key in range(1, 7)], PROGRAMME, PAL, series=True)
    assert found[1][0].text == "It overlaps 1M2 by 1:00, 1M3 by 1:00, 1M4 by 1:00 and 2 more."


def test_check_log_beyond_counting_says_so_once():
    found = codes([entry(key, 0, 60) for key in range(1, 450)])
    assert found == {1: ["overlaps-too-many"]}


def test_check_log_before_and_after_the_programme():
    found = check_log([entry(1, -2, 60), entry(2, 2690, 2703)], PROGRAMME, PAL, series=True)
    assert found[1][0].text == "It starts 0:02 before the programme."
    assert found[2][0].text == "It ends 0:03 after the programme."


def test_check_log_song_missing_only_where_it_must_be_cleared():
    licensed = entry(1, 0, 10, song=False, titled=True)
    score = entry(2, 10, 20, song=False, titled=True, facets=Facets(origin=Origin.COMMISSIONED))
    untitled = entry(3, 20, 30, song=False, facets=Facets(origin=Origin.OWNED))
    assert codes([licensed, score, untitled]) == {1: ["song-missing"], 3: ["title-missing"]}


def test_check_log_number_missing():
    assert codes([entry(1, cue_number="")]) == {1: ["cue-number-missing"]}


# BMI, "U.S. Television Royalties - Types of Uses": a theme is used in multiple episodes.
def test_check_log_theme_of_one_episode():
    theme = Facets(Function.THEME)
    once, returning = entry(1, facets=theme), entry(2, facets=theme, elsewhere=True)
    assert codes([once, returning]) == {1: ["theme-once"]}
    assert codes([once], series=False) == {}


def test_check_rate_unlike_the_season():
    (finding,) = check_rate(PAL, [DROP, DROP])
    assert finding.text == "The cut runs at 25, the season's other episodes at 29.97 DF."


def test_check_rate_like_another_or_alone():
    assert check_rate(PAL, [PAL, DROP]) == []
    assert check_rate(PAL, []) == []
