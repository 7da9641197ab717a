"""The picture of the fee spread: its geometry, its words, and that it stands on both money pages with its table."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import translation

from supervision.queries.budgets import season_money
from supervision.rules.budget import Amount, Figure, roll_up
from supervision.rules.clearance import Side
from supervision.rules.exchange import Rates
from supervision.rules.fee_spread import spread_of
from supervision.rules.money import Money, amount_text
from supervision.web.language import tell
from supervision.web.marks import draw_spread
from tests.factories.accounts import MembershipFactory
from tests.factories.season import season_of

DAY = date(2026, 11, 25)


def stages_of(*amounts):
    return spread_of(roll_up(amounts, currency="USD", on=DAY, rates=Rates([])))


def fee(side, figure, minor, currency="USD"):
    return Amount(1, side, figure, Money(minor, currency))


def test_bars_stand_on_one_scale():
    rows = draw_spread(
        stages_of(
            fee(Side.SYNC, Figure.ESTIMATED, 4000),
            fee(Side.MASTER, Figure.ESTIMATED, 3000),
            fee(Side.SYNC, Figure.QUOTED, 1000),
        )
    )
    assert [[bar.width for bar in row.bars] for row in rows] == [
        ["100.000%", "75.000%"], ["25.000%", "0.000%"], ["0.000%", "0.000%"], ["0.000%", "0.000%"],
    ]  # fmt: skip
    first, second = rows[0].bars
    assert first.y + 8 < second.y < rows[0].height


def test_row_says_its_bars_in_words():
    rows = draw_spread(stages_of(fee(Side.SYNC, Figure.QUOTED, 1050), fee(Side.MASTER, Figure.QUOTED, 600, "JPY")))
    assert rows[1].name == "Quoted: sync USD 10.50, master USD 0.00 and what has no rate"
    with translation.override("fr"):
        assert tell(rows[1].name).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ") == (
            "Devis reçu : édition 10,50 USD, master 0,00 USD et ce qui n’a pas de taux"
        )


def test_nothing_at_all_is_drawn_without_a_width():
    assert {bar.width for row in draw_spread(stages_of()) for bar in row.bars} == {"0.000%"}


@pytest.mark.django_db
def test_pages_show_the_picture_with_the_totals_of_their_table(client):
    season = season_of(4)
    client.force_login(MembershipFactory(production=season.production, role="supervisor").user)
    money = season_money(season, DAY)
    assert [stage.both for stage in money.spread] == [money.table.total.total.cell(figure) for figure in Figure]
    pages = [
        reverse("season-money", args=[season.production.code, season.number]),
        reverse("episode-money", args=[season.episodes.first().code]),
    ]
    for page in pages:
        html = client.get(page).content.decode()
        picture = html[html.index('class="fee-spread"') : html.index("</details>", html.index('class="behind"'))]
        assert picture.count('role="img"') == 4
        assert "<summary>The same as a table</summary>" in picture
    shown = client.get(pages[0]).content.decode()
    for stage in money.spread:
        assert shown.count(amount_text(stage.both.converted)) >= 2
