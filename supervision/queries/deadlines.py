"""Every deadline of a person's productions, and the feeds that carry them into calendars."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

import django_filters
from django.db.models import Exists, F, OuterRef, Q, QuerySet

from supervision.models import (
    CalendarFeed,
    Clearance,
    CueSheetFiling,
    Episode,
    Grant,
    LibraryAgreement,
    Option,
    Usage,
    User,
)
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.clearance_rows import of_live_clearances
from supervision.queries.cue_sheet_filings import Dues
from supervision.queries.home import open_clearances_for
from supervision.queries.productions import episodes_for
from supervision.rules.clearance import Stage
from supervision.rules.deadlines import Deadline, DeadlineKind, clear_by, last_day, soonest_first
from supervision.rules.errors import NotVisible
from supervision.rules.media import media_said
from supervision.rules.sentence import joined, say, say_as
from supervision.rules.territory import territory_said


class DeadlineFilter(django_filters.FilterSet):
    """Deadlines by production code and kind; they are values, so the filter only reads what was chosen."""

    production = django_filters.CharFilter(method="keep", label=say("Production code"))
    kind = django_filters.ChoiceFilter(
        method="keep",
        label=say("Kind"),
        empty_label=say_as("a kind", "Any"),
        choices=[(kind.value, kind.label) for kind in DeadlineKind],
    )

    class Meta:
        model = Episode
        fields: tuple[str, ...] = ()

    def keep(self, rows: QuerySet[Episode], name: str, value: object) -> QuerySet[Episode]:  # noqa: ARG002 - its call
        """Left as it is."""
        return rows

    def narrow(self, deadlines: list[Deadline]) -> list[Deadline]:
        """The deadlines that fit."""
        chosen: Mapping[str, str] = self.form.cleaned_data if self.is_valid() else {}
        code, kind = (chosen.get("production") or "").upper(), chosen.get("kind")
        return [
            found for found in deadlines if (not code or found.production == code) and (not kind or found.kind == kind)
        ]


def deadlines_for(user: User) -> list[Deadline]:
    """All deadlines of the user's productions, soonest first, those past included. Nine queries, whatever the rows."""
    return soonest_first(
        [
            *_answers(user),
            *_quotes(user),
            *_options(user),
            *_grants(user),
            *_agreements(user),
            *_clear(user),
            *_file(user),
        ]
    )


def _of(kind: DeadlineKind, clearance: Clearance, day: date, row: int, matter: str = "") -> Deadline:
    episode = clearance.usage.episode
    production = episode.season.production
    about = say(
        "{holder}, {side}, {song}",
        holder=str(clearance.holder or say("holder unknown")),
        side=clearance.get_side_display().lower(),
        song=str(clearance.work or clearance.recording or clearance.usage.title),
    )
    said = say("{about}: {matter}", about=about, matter=matter) if matter else about
    return Deadline(day, kind, row, said, production.code, production.title, episode.code)


def _answers(user: User) -> Iterator[Deadline]:
    for clearance in open_clearances_for(user).filter(stage=Stage.REQUESTED, answer_due__isnull=False):
        if clearance.answer_due is not None:
            yield _of(DeadlineKind.ANSWER, clearance, clearance.answer_due, clearance.pk)


def _quotes(user: User) -> Iterator[Deadline]:
    for clearance in open_clearances_for(user).filter(stage=Stage.QUOTED, standing_quote__valid_until__isnull=False):
        quote = clearance.standing_quote
        if quote is not None and quote.valid_until is not None:
            yield _of(DeadlineKind.QUOTE, clearance, quote.valid_until, clearance.pk)


def _options(user: User) -> Iterator[Deadline]:
    """Options of standing quotes, from quoted to licensed, that nobody has taken up."""
    ends = Q(exercisable_until__isnull=False) | Q(quote__valid_until__isnull=False)
    options = of_live_clearances(
        Option.objects.filter(ends, exercised_on__isnull=True), user, "quote__clearance"
    ).filter(quote__clearance__standing_quote=F("quote"), quote__clearance__stage__range=(Stage.QUOTED, Stage.LICENSED))
    for option in options:
        if option.last_day is not None:
            matter = option.get_kind_display().lower()
            yield _of(DeadlineKind.OPTION, option.quote.clearance, option.last_day, option.pk, matter)


def _grants(user: User) -> Iterator[Deadline]:
    grants = of_live_clearances(
        Grant.objects.filter(licence__withdrawn_at__isnull=True, ends_on__isnull=False), user, "licence__clearance"
    ).filter(licence__clearance__stage=Stage.LICENSED)
    for grant in grants:
        if grant.ends_on is not None:
            matter = joined([media_said(grant.media), territory_said(grant.territory)], between=", ")
            yield _of(DeadlineKind.GRANT, grant.licence.clearance, last_day(grant.ends_on), grant.pk, matter)


def _agreements(user: User) -> Iterator[Deadline]:
    agreements = LibraryAgreement.objects.filter(production__memberships__user=user, ends_on__isnull=False)
    for agreement in agreements.select_related("party", "production"):
        if agreement.ends_on is not None:
            production, day = agreement.production, last_day(agreement.ends_on)
            matter = f"{agreement.party}, {agreement.number}"
            yield Deadline(day, DeadlineKind.AGREEMENT, agreement.pk, matter, production.code, production.title)


def _clear(user: User) -> Iterator[Deadline]:
    """Episodes in which a permission is missing, by the day on which all is to be cleared."""
    missing = Clearance.objects.filter(
        LIVE_CLEARANCE, usage__episode=OuterRef("pk"), usage__deleted_at__isnull=True, stage__lt=Stage.LICENSED
    )
    episodes = episodes_for(user).filter(Exists(missing), air_date__isnull=False, closed_at__isnull=True)
    for episode in episodes:
        if episode.air_date is not None:
            production = episode.season.production
            day = clear_by(episode.air_date, production.lead_days)
            yield _about_episode(DeadlineKind.CLEAR, episode, day)


def _file(user: User) -> Iterator[Deadline]:
    """Episodes with music whose cue sheet is filed with nobody, by the day on which it is to be. Three queries."""
    filed = CueSheetFiling.objects.filter(LIVE, revision__episode=OuterRef("pk"))
    logged = Usage.objects.filter(LIVE, episode=OuterRef("pk"))
    episodes = list(episodes_for(user).filter(Exists(logged), ~Exists(filed)))
    dues = Dues.of(episodes)
    for episode in episodes:
        due = dues.due_of(episode)
        if due is not None:
            yield _about_episode(DeadlineKind.FILE, episode, due.day)


def _about_episode(kind: DeadlineKind, episode: Episode, day: date) -> Deadline:
    production = episode.season.production
    return Deadline(day, kind, episode.pk, str(episode), production.code, production.title, episode.code)


def feeds_of(user: User) -> QuerySet[CalendarFeed]:
    """A person's feeds that are not revoked, newest first. One query."""
    return CalendarFeed.objects.filter(user=user, revoked_at__isnull=True).order_by("-made_at")


def feed_for(user: User, pk: int) -> CalendarFeed:
    """A feed of the person's own, by id. One query."""
    feed = feeds_of(user).filter(pk=pk).first()
    if feed is None:
        raise NotVisible("feed-unknown", say("There is no such calendar feed."))
    return feed


def reader_of(secret_sha256: str) -> User:
    """Whose feed has this digest; ``NotVisible`` for an unknown or revoked one, or somebody who left. One query."""
    feed = (
        CalendarFeed.objects.filter(secret_sha256=secret_sha256, revoked_at__isnull=True, user__is_active=True)
        .select_related("user")
        .first()
    )
    if feed is None:
        raise NotVisible("feed-unknown", say("There is no such calendar feed."))
    return feed.user
