"""What a recut does to rights and money; common practice, no published source. Every figure is worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from supervision.rules.asks import Asked
from supervision.rules.clearance import Side, Stage
from supervision.rules.findings import Level
from supervision.rules.money import Money
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_consequences import (
    Blanket,
    Consequence,
    Effect,
    Held,
    Length,
    Standing,
    Stated,
    consequences,
    in_question,
    money_back,
)
from supervision.rules.usage import Facets

ASKED = Asked.of(Facets(), seconds=30, uses=1, scene="Harbour")
LICENSED = Held(
    clearance=7, side=Side.SYNC, holder="Kotva Music", stage=Stage.LICENSED, asked=ASKED, licence="K-1", maxima=(30,)
)
QUOTED = Held(clearance=8, side=Side.MASTER, holder="Skala Records", stage=Stage.QUOTED, asked=ASKED)


def usd(units: int) -> Money:
    return Money(units * 100, "USD")


def length(seconds: int | Fraction) -> Length:
    return Length(Fraction(seconds), int(seconds + Fraction(1, 2)))


def standing(*held: Held, was: int | None = 30, now: int | Fraction | None = 30, usage: int = 1) -> Standing:
    lengths = (None if seconds is None else length(seconds) for seconds in (was, now))
    return Standing(usage=usage, name="1M1 Evening Tide", was=next(lengths), now=next(lengths), held=held)


def changed(kind: Kind, *, before: tuple[int, ...] = (1,), after: tuple[int, ...] = (1,), song: str = "R1") -> Change:
    return Change(kind=kind, song=song, before=before, after=after)


def told(standings: list[Standing], *changes: Change, carried: dict[int, int] | None = None) -> list[Consequence]:
    known = {key: key for change in changes for key in change.after} if carried is None else carried
    return consequences(changes, {one.usage: one for one in standings}, known)


def said(found: list[Consequence]) -> list[tuple[Effect, str]]:
    return [(one.effect, one.text) for one in found]


class TestLength:
    def test_a_use_longer_than_its_licence_is_an_error(self):
        (found,) = told([standing(LICENSED, now=40)], changed(Kind.LONGER))
        assert (found.effect, found.level, found.clearance, found.usage) == (Effect.OVER_MAXIMUM, Level.ERROR, 7, 1)
        assert found.text == (
            "1M1 Evening Tide, Kotva Music (sync), licence K-1: It is 0:40 long now; the licence allows up to 0:30."
        )

    def test_a_frame_beyond_the_maximum_is_beyond_it_though_the_seconds_shown_are_equal(self):
        (found,) = told([standing(LICENSED, now=30 + Fraction(1, 25))], changed(Kind.LONGER))
        assert found.effect is Effect.OVER_MAXIMUM

    def test_the_narrowest_grant_that_is_broken_is_named(self):
        held = replace(LICENSED, maxima=(60, 35, 30))
        (found,) = told([standing(held, now=40)], changed(Kind.LONGER))
        assert found.reason == "It is 0:40 long now; the licence allows up to 0:30."

    @pytest.mark.parametrize(
        ("held", "was", "now"),
        [
            (LICENSED, 30, 30),
            (replace(LICENSED, maxima=()), 30, 60),
            (LICENSED, 50, 40),
            (replace(LICENSED, stage=Stage.WITHDRAWN), 30, 40),
        ],
    )
    def test_what_fits_or_was_broken_before_is_no_news(self, held: Held, was: int, now: int):
        assert told([standing(held, was=was, now=now)], changed(Kind.LONGER)) == []

    def test_a_longer_use_breaks_the_ask_of_whoever_quoted(self):
        (found,) = told([standing(QUOTED, now=40)], changed(Kind.LONGER))
        assert said([found]) == [
            (
                Effect.ASK_BROKEN,
                "1M1 Evening Tide, Skala Records (master), quoted: It is 0:40 long now; it was asked for up to 0:30.",
            )
        ]
        assert (found.level, found.mend) == (Level.WARNING, "Ask again for the use as it is now.")

    def test_letters_and_ties_are_named_with_a_broken_ask(self):
        held = replace(QUOTED, letters=("WEIR-7",), favoured=True)
        (found,) = told([standing(held, now=40)], changed(Kind.LONGER))
        assert found.holder == "Skala Records (master), quoted, asked by WEIR-7"
        assert found.mend.endswith("Its rate is most favoured nations: whoever it is tied to is reckoned anew.")

    def test_an_ask_that_the_log_has_taken_back_is_to_be_put_again(self):
        (found,) = told([standing(replace(QUOTED, stage=Stage.DRAFT), now=40)], changed(Kind.LONGER))
        assert found.holder == "Skala Records (master), to be asked again"

    def test_an_ask_that_was_broken_before_is_no_news(self):
        assert told([standing(QUOTED, was=40, now=40)], changed(Kind.KEPT)) == []

    def test_a_shorter_use_may_cost_less(self):
        (found,) = told([standing(QUOTED, now=20)], changed(Kind.SHORTER))
        assert (found.effect, found.level) == (Effect.ASK_GENEROUS, Level.NOTE)
        assert found.reason == "It is 0:20 long now; it was asked for up to 0:30."

    def test_a_draft_that_was_never_asked_is_left_alone(self):
        assert told([standing(replace(QUOTED, stage=Stage.DRAFT, asked=None), now=40)], changed(Kind.LONGER)) == []
        assert told([standing(replace(QUOTED, stage=Stage.DRAFT), now=20)], changed(Kind.SHORTER)) == []


class TestUses:
    def test_a_second_use_of_a_song_licensed_for_one(self):
        held = replace(LICENSED, uses=1)
        found = told(
            [standing(held), standing(was=None, usage=2)],
            changed(Kind.KEPT),
            changed(Kind.NEW, before=(), after=(2,)),
        )
        assert [one.effect for one in found] == [Effect.USES_EXCEEDED, Effect.UNCLEARED]
        assert found[0].reason == "The song is used 2 times in the new cut; the licence allows 1."
        assert found[0].change == changed(Kind.NEW, before=(), after=(2,))

    def test_two_pieces_of_what_was_one_are_two_uses(self):
        found = told([standing(replace(LICENSED, uses=1), now=10)], changed(Kind.SPLIT, after=(1, 2)), carried={1: 1})
        assert [one.effect for one in found] == [Effect.USES_EXCEEDED, Effect.UNCLEARED]
        assert found[1].text == "1 more piece is to be logged, each a usage of its own."

    def test_a_second_use_breaks_the_ask_for_one(self):
        found = told(
            [standing(QUOTED), standing(replace(LICENSED, maxima=()), was=None, usage=2)],
            changed(Kind.KEPT),
            changed(Kind.NEW, before=(), after=(2,)),
        )
        assert said(found) == [
            (
                Effect.ASK_BROKEN,
                (
                    "1M1 Evening Tide, Skala Records (master), quoted: "
                    "The song is used 2 times in the episode now; it was asked for 1."
                ),
            )
        ]

    def test_one_licence_for_two_usages_is_told_once(self):
        held = replace(LICENSED, uses=2)
        found = told(
            [standing(held), standing(held, usage=2), standing(held, was=None, usage=3)],
            changed(Kind.KEPT),
            changed(Kind.KEPT, before=(2,), after=(2,)),
            changed(Kind.NEW, before=(), after=(3,)),
        )
        assert [one.effect for one in found] == [Effect.USES_EXCEEDED]

    @pytest.mark.parametrize(
        "held", [LICENSED, replace(LICENSED, uses=2), replace(LICENSED, uses=1, stage=Stage.DRAFT)]
    )
    def test_a_licence_that_allows_it_is_left_alone(self, held: Held):
        found = told(
            [standing(held), standing(LICENSED, was=None, usage=2)],
            changed(Kind.KEPT),
            changed(Kind.NEW, before=(), after=(2,)),
        )
        assert [one.effect for one in found if one.effect is Effect.USES_EXCEEDED] == []

    def test_music_without_a_name_is_not_counted_together(self):
        found = told(
            [standing(replace(QUOTED), usage=1), standing(LICENSED, was=None, usage=2)],
            changed(Kind.KEPT, song=""),
            changed(Kind.NEW, before=(), after=(2,), song=""),
        )
        assert found == []


class TestGone:
    GONE = changed(Kind.GONE, after=())

    @pytest.mark.parametrize(
        ("held", "who", "mend"),
        [
            (QUOTED, "Skala Records (master), quoted", "Nothing is owed."),
            (replace(QUOTED, stage=Stage.APPROVED), "Skala Records (master), approved", "No licence is signed."),
            (LICENSED, "Kotva Music (sync), licence K-1", "Ask whether the licence can be cancelled"),
            (replace(LICENSED, paid=True), "Kotva Music (sync), licence K-1, paid", "Ask for the fee back"),
        ],
    )
    def test_what_was_promised_for_it_may_come_back(self, held: Held, who: str, mend: str):
        (found,) = told([standing(held, now=None)], self.GONE)
        assert (found.effect, found.holder, found.reason) == (Effect.MONEY_BACK, who, "It is not in the new cut.")
        assert found.mend.startswith(mend)

    def test_an_open_ask_lapses(self):
        (found,) = told([standing(replace(QUOTED, stage=Stage.REQUESTED), now=None)], self.GONE)
        assert (found.effect, found.level) == (Effect.ASK_LAPSED, Level.NOTE)

    @pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.DENIED, Stage.NOT_NEEDED])
    def test_nothing_hangs_on_what_was_not_asked(self, stage: Stage):
        assert told([standing(replace(QUOTED, stage=stage), now=None)], self.GONE) == []

    def test_a_usage_that_went_into_another_says_so(self):
        joined = changed(Kind.JOINED, before=(1, 2), after=(2,))
        found = told([standing(QUOTED, now=None), standing(was=30, usage=2)], joined)
        assert [one.reason for one in found] == ["It has become one with another usage of the song."]
        anew = told([standing(QUOTED, now=None), standing(LICENSED, usage=2)], changed(Kind.KEPT, after=(2,)))
        assert [one.reason for one in anew] == ["It is logged anew as another usage of the song."]


class TestNew:
    NEW = changed(Kind.NEW, before=())

    def test_the_sides_that_are_not_cleared_are_named(self):
        (found,) = told([standing(LICENSED, QUOTED, was=None)], self.NEW)
        assert found.text == "1M1 Evening Tide: It is new in the cut: master quoted."

    def test_a_usage_without_a_song_has_nobody_to_ask(self):
        (found,) = told([standing(was=None)], self.NEW)
        assert (found.reason, found.mend) == (
            "It is new in the cut: nobody is to be asked yet.",
            "Choose its song and ask its holders.",
        )

    def test_a_cleared_one_is_no_matter(self):
        assert told([standing(LICENSED, was=None)], self.NEW) == []

    def test_proposed_music_has_no_clearance_at_all(self):
        (found,) = told([], self.NEW, carried={})
        assert found.text == "It is new in the cut, and nobody has been asked."

    def test_several_pieces_are_counted(self):
        found = told([standing(now=10)], changed(Kind.SPLIT, after=(1, 2, 3)), carried={1: 1})
        assert [one.reason for one in found] == ["2 more pieces are to be logged, each a usage of its own."]


class TestAgreement:
    PER_MINUTE = Blanket("Shelfmark, agreement 7", usd(40), per_minute=True)

    def with_blanket(self, blanket: Blanket, was: int | None, now: int | None) -> list[Consequence]:
        kind = Kind.NEW if was is None else Kind.GONE if now is None else Kind.LONGER
        one = replace(
            standing(replace(LICENSED, maxima=(), stage=Stage.NOT_NEEDED), was=was, now=now), blankets=(blanket,)
        )
        return told([one], changed(kind))

    def test_minutes_begun_are_charged(self):
        (found,) = self.with_blanket(self.PER_MINUTE, 60, 121)
        assert (found.effect, found.level, found.text) == (
            Effect.AGREEMENT_FEE,
            Level.NOTE,
            "1M1 Evening Tide, Shelfmark, agreement 7: 3 minutes begun are charged now, 1 before.",
        )
        assert found.stated == (Stated("more", usd(80)),)

    def test_a_use_that_is_gone_is_not_charged(self):
        (found,) = self.with_blanket(Blanket("Shelfmark, agreement 7", usd(40)), 60, None)
        assert found.reason == "0 uses are charged now, 1 before."
        assert money_back([found]) == [Stated("less", usd(40))]

    def test_a_new_use_is_charged_and_amounts_are_for_those_who_may_read_them(self):
        (found,) = self.with_blanket(Blanket("Shelfmark, agreement 7", None), None, 60)
        assert (found.reason, found.stated) == ("1 use is charged now, 0 before.", ())

    @pytest.mark.parametrize(("was", "now"), [(61, 119), (1, 60), (61, 61)])
    def test_the_same_minutes_are_no_news(self, was: int, now: int):
        assert self.with_blanket(self.PER_MINUTE, was, now) == []


def test_the_gravest_comes_first():
    found = told(
        [standing(QUOTED, now=None), standing(LICENSED, now=40, usage=2)],
        changed(Kind.GONE, after=()),
        changed(Kind.LONGER, before=(2,), after=(2,), song="R2"),
    )
    assert [one.effect for one in found] == [Effect.OVER_MAXIMUM, Effect.MONEY_BACK]
    assert [one.code for one in found] == ["over-maximum", "money-back"]


def test_every_effect_has_words_and_a_level():
    assert len({effect.label for effect in Effect}) == len(Effect)
    assert [effect.level for effect in (Effect.USES_EXCEEDED, Effect.SHEET_OUTDATED, Effect.ASK_GENEROUS)] == [
        Level.ERROR,
        Level.WARNING,
        Level.NOTE,
    ]


def test_money_is_added_up_by_what_it_is_and_by_currency():
    paid = replace(LICENSED, stated=(Stated("paid", usd(500)),), paid=True)
    quoted = replace(QUOTED, stated=(Stated("quoted", usd(300)),))
    pounds = replace(QUOTED, clearance=9, stated=(Stated("quoted", Money(1000, "GBP")),))
    gone = told([standing(paid, quoted, pounds, now=None)], changed(Kind.GONE, after=()))
    assert money_back(gone) == [
        Stated("quoted", Money(1000, "GBP")),
        Stated("quoted", usd(300)),
        Stated("paid", usd(500)),
    ]
    assert in_question(gone) == []


def test_a_clearance_that_two_things_question_counts_once():
    held = replace(LICENSED, uses=1, stated=(Stated("licensed", usd(500)),))
    found = told([standing(held, now=40)], changed(Kind.SPLIT, after=(1, 2)), carried={1: 1})
    assert [one.effect for one in found] == [Effect.OVER_MAXIMUM, Effect.USES_EXCEEDED, Effect.UNCLEARED]
    assert in_question(found) == [Stated("licensed", usd(500))]
    assert money_back(found) == []


def test_nobody_known_is_said_so():
    assert replace(QUOTED, holder="").who == "nobody known (master), quoted"
