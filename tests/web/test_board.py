"""How the board writes the holders of a side."""

from supervision.queries.board import HolderLine, SideLine
from supervision.rules.clearance import Stage
from supervision.templatetags.board import holders


def test_holder_is_a_link_to_its_clearance_with_share_and_stage():
    side = SideLine(Stage.QUOTED, (HolderLine("Tide & Sons <Oslo>", "33.34", Stage.QUOTED, 7),))
    assert holders(side) == (
        '<ul class="holders"><li><a href="/clearances/7/">Tide &amp; Sons &lt;Oslo&gt;</a> '
        '<span class="detail"><span class="keep">33.34 %</span> · Quoted</span></li></ul>'
    )


def test_holder_without_a_name_is_unknown_or_need_not_be_asked():
    side = SideLine(Stage.DRAFT, (HolderLine("", "60", Stage.DRAFT, 1), HolderLine("", "40", Stage.NOT_NEEDED, 2)))
    told = holders(side)
    assert (told.index("Holder unknown") < told.index("Nobody to ask"), told.count("<li>")) == (True, 2)


def test_side_without_holders_says_so():
    assert holders(SideLine(None, ())) == '<ul class="holders"><li class="detail">Nobody to ask yet</li></ul>'


def test_holder_of_a_medley_names_its_work():
    lines = tuple(
        HolderLine("Tide", share, Stage.QUOTED, 7, work) for share, work in (("100", "Low <Water>"), ("50", ""))
    )
    assert (
        holders(SideLine(Stage.QUOTED, lines)).count('<span class="detail" dir="auto">Low &lt;Water&gt;</span></li>')
        == 1
    )
    assert holders(SideLine(Stage.QUOTED, lines)).count("dir=") == 1
