"""What accepting a quote does to the others through most favoured nations, and who is entitled to a raise.

Every figure is worked out by hand beside its test; the rules are common practice, no published source.
"""

from datetime import date

import pytest

from supervision.models import BudgetLine, ExchangeRate
from supervision.queries.favoured import (
    acceptance_of,
    entitled_beside,
    entitled_of,
    entitled_to,
    party_of,
    quote_of,
    terms_of,
)
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import Conflict
from supervision.rules.money import Money
from tests.factories.catalogue import RecordingFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, at_stage
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def usd(units):
    return Money(units * 100, "USD")


@pytest.fixture
def episode():
    return EpisodeFactory(season__production__currency="USD")


@pytest.fixture
def usage(episode):
    return UsageFactory(episode=episode, title="Harbour")


def holder(usage, name, share, rate, stage, *, side=Side.SYNC, favoured_with="", **quote):
    """A holder whose quote is for 100 % of its side, in whole dollars."""
    song = {"work": None, "recording": usage.recording or RecordingFactory()} if side == Side.MASTER else {}
    clearance = ClearanceFactory(usage=usage, side=side, share=share, holder__name=name, **song)
    terms = {"favoured": bool(favoured_with), "favoured_with": favoured_with} | quote
    minor = rate * 100
    return at_stage(clearance, stage, amount_minor=minor, payable_minor=minor * share // 100, **terms)


@pytest.fixture
def harbour(usage):
    """60 % of the sync side asks 16,000; 40 % of it and the whole master side have agreed 10,000 with everybody."""
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    copperline = holder(usage, "Copperline", 40, 10_000, Stage.APPROVED, favoured_with="all")
    skala = holder(usage, "Skala Records", 100, 10_000, Stage.APPROVED, side=Side.MASTER, favoured_with="all")
    return asking, copperline, skala


def test_acceptance_raises_others_by_their_shares(episode, harbour):
    # 60 % of 16,000 is 9,600; 40 % of 6,000 more is 2,400, 100 % of it 6,000; together 18,000
    asking, copperline, skala = harbour
    preview = acceptance_of(terms_of(episode, TODAY), asking)
    assert (preview.rate, preview.fee, preview.change) == (usd(16_000), usd(9_600), (usd(18_000),))
    assert [(each.clearance, each.more, each.before, each.after) for each in preview.raises] == [
        (copperline, usd(2_400), usd(10_000), usd(16_000)),
        (skala, usd(6_000), usd(10_000), usd(16_000)),
    ]
    assert preview.text == (
        "Accepting Kotva Music (sync) at USD 16,000.00 on 100 % costs USD 9,600.00 and raises Copperline (sync) by "
        "USD 2,400.00 and Skala Records (master) by USD 6,000.00; total USD 18,000.00."
    )


def test_acceptance_is_told_step_by_step(episode, harbour):
    preview = acceptance_of(terms_of(episode, TODAY), harbour[0])
    assert preview.steps == (
        (
            "Copperline (sync) rises from USD 10,000.00 to USD 16,000.00 on 100 %: it is favoured with every party, and "
            "Kotva Music (sync) gets that rate."
        ),
        (
            "Skala Records (master) rises from USD 10,000.00 to USD 16,000.00 on 100 %: it is favoured with every party, "
            "and Kotva Music (sync) gets that rate."
        ),
    )


def test_acceptance_that_raises_nobody_says_so(episode, usage):
    alone = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    holder(usage, "Copperline", 40, 10_000, Stage.APPROVED)
    assert acceptance_of(terms_of(episode, TODAY), alone).text == (
        "Accepting Kotva Music (sync) at USD 16,000.00 on 100 % costs USD 9,600.00 and raises nobody; total "
        "USD 9,600.00."
    )


@pytest.mark.parametrize(
    ("scope", "side", "same_song", "raised"),
    [
        ("side", Side.SYNC, True, True),
        ("side", Side.MASTER, True, False),
        ("side", Side.SYNC, False, False),
        ("song", Side.MASTER, True, True),
        ("song", Side.MASTER, False, False),
        ("episode-side", Side.SYNC, False, True),
        ("episode-side", Side.MASTER, True, False),
        ("all", Side.MASTER, False, True),
    ],
)
def test_clause_reaches_as_far_as_its_scope(episode, usage, scope, side, same_song, raised):
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    where = usage if same_song else UsageFactory(episode=episode)
    holder(where, "Copperline", 40, 10_000, Stage.APPROVED, side=side, favoured_with=scope)
    assert bool(acceptance_of(terms_of(episode, TODAY), asking).raises) is raised


@pytest.mark.parametrize(("vocal", "raised"), [("vocal", True), ("instrumental", False)])
def test_songs_used_similarly_are_of_one_function_and_voice(episode, vocal, raised):
    one, other = UsageFactory(episode=episode, vocal="vocal"), UsageFactory(episode=episode, vocal=vocal)
    asking = holder(one, "Kotva Music", 60, 16_000, Stage.QUOTED)
    holder(other, "Copperline", 40, 10_000, Stage.APPROVED, favoured_with="all", similar=True)
    assert bool(acceptance_of(terms_of(episode, TODAY), asking).raises) is raised


def test_clause_that_names_nobody_reaches_both_sides_of_the_song(episode, usage):
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    skala = holder(usage, "Skala Records", 100, 10_000, Stage.APPROVED, side=Side.MASTER, favoured=True)
    [raised] = acceptance_of(terms_of(episode, TODAY), asking).raises
    assert raised.clearance == skala


def test_song_is_named_where_it_is_another(episode, usage):
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    other = holder(UsageFactory(episode=episode), "Copperline", 40, 10_000, Stage.APPROVED, favoured_with="all")
    [raised] = acceptance_of(terms_of(episode, TODAY), asking).raises
    assert raised.name == f"Copperline (sync, {other.work.title})"


def test_own_clause_raises_the_fee_that_is_accepted(episode, usage):
    # favoured with its side at 10,000 where the other gets 16,000: 40 % of 16,000 is 6,400
    asking = holder(usage, "Copperline", 40, 10_000, Stage.QUOTED, favoured_with="side")
    other = holder(usage, "Kotva Music", 60, 16_000, Stage.APPROVED)
    preview = acceptance_of(terms_of(episode, TODAY), asking)
    assert (preview.own, preview.rate, preview.fee) == (usd(10_000), usd(16_000), usd(6_400))
    assert (preview.raised_by, preview.waits) == (other, False)


def test_own_raise_waits_while_the_other_is_not_accepted(episode, usage):
    asking = holder(usage, "Copperline", 40, 10_000, Stage.QUOTED, favoured_with="side")
    holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    assert acceptance_of(terms_of(episode, TODAY), asking).waits


def test_signed_holder_counts_at_its_licence(episode, usage):
    # signed at 8,000 for its 40 %, which is 20,000 on 100 %, whatever it asked
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED, favoured_with="side")
    signed = holder(usage, "Copperline", 40, 10_000, Stage.LICENSED)
    LicenceFactory(clearance=signed, fee_minor=800_000)
    assert acceptance_of(terms_of(episode, TODAY), asking).rate == usd(20_000)


def test_signed_fee_that_was_rounded_raises_nobody_by_a_cent(episode, usage):
    # 66.67 % of 2,000.01 is 1,333.41 by rounding; on 100 % again it would be 2,000.0150
    signed = holder(usage, "Copperline", 50, 2_000, Stage.LICENSED)
    signed.share = "66.67"
    signed.save()
    signed.standing_quote.amount_minor, signed.standing_quote.payable_minor = 200_001, 133_341
    signed.standing_quote.save()
    LicenceFactory(clearance=signed, fee_minor=133_341)
    other = holder(usage, "Maják Songs", 33, 2_000, Stage.APPROVED, favoured_with="side")
    other.standing_quote.amount_minor = 200_001
    other.standing_quote.save()
    assert entitled_of(terms_of(episode, TODAY)) == ()


def test_licence_in_another_currency_is_compared_at_its_own(episode, usage):
    signed = holder(usage, "Copperline", 50, 10_000, Stage.LICENSED)
    licence = LicenceFactory(clearance=signed, fee_minor=450_000, currency="EUR")
    party = party_of(signed, [licence])
    assert (party.currency, party.signed_at, party.rate) == ("EUR", 900_000, 900_000)


def test_denied_withdrawn_and_retired_holders_have_no_say(episode, usage):
    asking = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED)
    for stage in (Stage.DENIED, Stage.WITHDRAWN):
        holder(usage, stage.label, 10, 10_000, stage, favoured_with="all")
    retired = holder(usage, "Retired", 10, 10_000, Stage.APPROVED, favoured_with="all")
    retired.retired_at = "2026-11-01T00:00Z"
    retired.save()
    assert list(terms_of(episode, TODAY).clearances) == [asking.pk]


def budget(episode, *amounts):
    for category, amount in zip(("sync", "master"), amounts, strict=False):
        BudgetLine.objects.create(season=episode.season, episode=episode, category=category, amount_minor=amount * 100)


def test_budget_is_compared_with_the_fee_and_every_raise(episode, harbour):
    # budget 30,000; approved 4,000 + 10,000, left 16,000; this costs 18,000 in all
    budget(episode, 20_000, 10_000)
    preview = acceptance_of(terms_of(episode, TODAY), harbour[0])
    found = preview.budget
    assert (found.budget, found.approved, found.left, found.after) == (
        usd(30_000),
        usd(14_000),
        usd(16_000),
        usd(-2_000),
    )
    assert found.is_over


def test_episode_without_budget_lines_has_nothing_to_compare(episode, harbour):
    assert acceptance_of(terms_of(episode, TODAY), harbour[0]).budget is None


def test_currencies_are_compared_at_the_productions_dated_rate(episode, usage):
    # EUR 10,000 at 1.20 is USD 12,000 on 100 %: 40 % of 2,000 more is 800.00 dollars
    ExchangeRate.objects.create(production=episode.season.production, base="EUR", quote="USD", rate="1.2", on=TODAY)
    budget(episode, 20_000)
    asking = holder(usage, "Kotva Music", 60, 10_000, Stage.QUOTED, currency="EUR")
    holder(usage, "Copperline", 40, 10_000, Stage.APPROVED, favoured_with="side")
    preview = acceptance_of(terms_of(episode, TODAY), asking)
    assert [each.more for each in preview.raises] == [usd(800)]
    assert sorted(preview.change, key=lambda money: money.currency) == [Money(600_000, "EUR"), usd(800)]
    # left 20,000 - 4,000; EUR 6,000 is 7,200
    assert preview.budget.after == usd(16_000 - 7_200 - 800)


def test_missing_rate_is_told_and_the_quotes_own_fee_stays_known(episode, usage):
    budget(episode, 20_000)
    asking = holder(usage, "Kotva Music", 60, 10_000, Stage.QUOTED, currency="EUR")
    holder(usage, "Copperline", 40, 10_000, Stage.APPROVED, favoured_with="side")
    preview = acceptance_of(terms_of(episode, TODAY), asking)
    assert (preview.known, preview.fee, preview.raises) == (False, Money(600_000, "EUR"), ())
    assert [finding.code for finding in preview.findings] == ["rate-missing"]
    assert preview.budget.after is None
    assert preview.text.endswith("What it does to the others cannot be worked out yet.")


def test_missing_rate_to_the_budget_alone_is_told_too(episode, usage):
    budget(episode, 20_000)
    asking = holder(usage, "Kotva Music", 60, 10_000, Stage.QUOTED, currency="EUR")
    preview = acceptance_of(terms_of(episode, TODAY), asking)
    assert (preview.known, preview.budget.after) == (True, None)
    assert [finding.code for finding in preview.findings] == ["rate-missing"]


def test_clearance_without_quote_has_nothing_to_accept(usage):
    with pytest.raises(Conflict, match="No quote stands yet"):
        quote_of(ClearanceFactory(usage=usage))


def test_accepted_quote_entitles_the_others(episode, harbour):
    asking, copperline, skala = harbour
    assert entitled_of(terms_of(episode, TODAY)) == ()
    asking.stage = Stage.APPROVED
    asking.save()
    found = entitled_of(terms_of(episode, TODAY))
    assert [(each.clearance, each.by, each.now, each.due, each.more) for each in found] == [
        (copperline, asking, usd(10_000), usd(16_000), usd(2_400)),
        (skala, asking, usd(10_000), usd(16_000), usd(6_000)),
    ]
    assert [each.is_signed for each in found] == [False, False]


def test_page_speaks_of_those_it_raises_and_of_its_song(episode, harbour):
    # Kotva and Copperline both get 16,000; which of the two is named as the raiser does not hide the master
    asking, copperline, skala = harbour
    for accepted in (asking, copperline):
        accepted.stage = Stage.APPROVED
        accepted.standing_quote.amount_minor = 1_600_000
        accepted.standing_quote.save()
        accepted.save()
    elsewhere = holder(UsageFactory(episode=episode), "Elsewhere", 100, 10_000, Stage.APPROVED, favoured_with="all")
    found = entitled_of(terms_of(episode, TODAY))
    assert {each.by for each in found} == {asking}
    assert [each.clearance for each in entitled_beside(found, asking)] == [skala, elsewhere]
    assert [each.clearance for each in entitled_beside(found, copperline)] == [skala]
    assert entitled_beside(found, skala) == []


def test_two_quotes_that_are_not_accepted_entitle_neither(episode, usage):
    one = holder(usage, "Kotva Music", 60, 16_000, Stage.QUOTED, favoured_with="all")
    holder(usage, "Copperline", 40, 10_000, Stage.QUOTED, favoured_with="all")
    assert entitled_to(one, TODAY) is None


def test_quote_that_is_not_accepted_does_not_pass_a_raise_on(episode, usage):
    # the master is favoured with its song; the quoted publisher, favoured with every song, would carry 20,000 over
    holder(UsageFactory(episode=episode), "Elsewhere", 100, 20_000, Stage.APPROVED)
    carrier = holder(usage, "Copperline", 40, 10_000, Stage.QUOTED, favoured_with="all")
    holder(usage, "Skala Records", 100, 10_000, Stage.APPROVED, side=Side.MASTER, favoured_with="song")
    assert [each.clearance for each in entitled_of(terms_of(episode, TODAY))] == [carrier]


@pytest.mark.parametrize("count", [3, 30])
def test_queries_do_not_grow_with_holders(episode, django_assert_num_queries, count):
    budget(episode, 100_000)
    usages = [UsageFactory(episode=episode) for _ in range(count)]
    found = [holder(usage, "One", 100, 10_000, Stage.QUOTED, favoured_with="all") for usage in usages]
    with django_assert_num_queries(8):
        preview = acceptance_of(terms_of(episode, TODAY), found[0])
    assert preview.budget is not None
