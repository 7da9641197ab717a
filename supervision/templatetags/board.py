"""What the season board draws by the hundred: written in Python, since a loop in its template took half as long as all.

{% load board %}

{{ row.sync|holders }}   queries.board.SideLine → its holders with share and stage, each a link to its clearance
"""

from __future__ import annotations

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from supervision.queries.board import HolderLine, SideLine
from supervision.rules.clearance import Stage
from supervision.rules.sentence import figures, say
from supervision.templatetags.display import address

register = template.Library()

_LINE = '<li><a href="{}">{}</a> <span class="detail"><span class="keep">{} %</span> · {}</span>{}</li>'
_WORK = '<span class="detail" dir="auto">{}</span>'
_NONE = '<ul class="holders"><li class="detail">{}</li></ul>'


@register.filter
def holders(side: SideLine) -> SafeString:
    """The holders of a side, weakest first."""
    if not side.holders:
        return format_html(_NONE, say("Nobody to ask yet"))
    lines = (
        (
            address("clearance", holder.clearance),
            _called(holder),
            figures(holder.share),
            holder.stage.label,
            format_html(_WORK, holder.work) if holder.work else "",
        )
        for holder in side.holders
    )
    return format_html('<ul class="holders">{}</ul>', format_html_join("", _LINE, lines))


def _called(holder: HolderLine) -> str:
    """A holder's name; without one it is unknown, or nobody's permission is needed."""
    return holder.name or (say("Nobody to ask") if holder.stage is Stage.NOT_NEEDED else say("Holder unknown"))
