"""Forms of the log: one usage as it is typed, in a row of the grid or on a page of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

from supervision.models import Cut, Episode, Usage
from supervision.models.rows import choices_of
from supervision.queries.songs import Song, song_text
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.log import LogRow
from supervision.rules.money import Money, amount_text, money_text
from supervision.rules.sentence import say, say_as
from supervision.rules.spotting import check_span, read_in, read_out
from supervision.rules.usage import Function, Origin, ProgrammePart, ThemePosition, Vocal, tidy_cue_number
from supervision.web.forms.fields import AmountField
from supervision.web.forms.songs import estimate_fields, song_fields
from supervision.web.submit import refuse

#: A usage's function and theme position as one choice, so that a theme takes one key less; recaps, teasers, play-ons and
#: promos are background on a cue sheet and stand beside it.
USES = [
    (str(Function.BACKGROUND), Function.BACKGROUND.label),
    (str(Function.ON_SCREEN), Function.ON_SCREEN.label),
    (f"theme-{ThemePosition.OPENING}", say("Opening theme")),
    (f"theme-{ThemePosition.CLOSING}", say("Closing theme")),
    (f"theme-{ThemePosition.SEGMENT}", say("Segment theme")),
    (str(Function.THEME), Function.THEME.label),
    *((str(function), function.label) for function in (Function.LOGO, Function.BUMPER, Function.ROLLED_UP)),
    *((f"background-{part}", part.label) for part in ProgrammePart if part),
]

ORIGINS = choices_of(Origin)

ESTIMATES = ("sync_estimate", "master_estimate")

_IN_ALONE, _OUT_ALONE = say("The in point stands alone."), say("The out point stands alone.")


def use_of(row: LogRow) -> str:
    """The choice of ``USES`` for a row."""
    facets = row.facets
    part = facets.part if facets.function is Function.BACKGROUND else ""
    position = facets.theme_position or part
    return f"{facets.function}-{position}" if position else str(facets.function)


def song_shown(row: LogRow) -> str:
    """The song as its field shows it: title and artist."""
    return " – ".join(filter(None, (row.song, row.artist)))


def estimate_shown(money: Money | None, currency: str) -> str:
    """An estimate as its field shows it: the amount, with its currency where that is not the production's."""
    if money is None:
        return ""
    return amount_text(money) if money.currency == currency else money_text(money)


def shown(row: LogRow, currency: str) -> dict[str, Any]:
    """What the fields of a row hold."""
    return {
        "version": row.version,
        "cue_number": row.cue_number,
        "in_timecode": row.in_timecode,
        "out_timecode": row.out_timecode,
        "song": song_shown(row),
        "use": use_of(row),
        "seen": row.facets.seen,
        "vocal": row.facets.vocal is Vocal.VOCAL,
        "origin": str(row.facets.origin),
        "scene": row.scene,
        "notes": row.notes,
        "sync_estimate": estimate_shown(row.sync_estimate, currency),
        "master_estimate": estimate_shown(row.master_estimate, currency),
    }


class LogForm(forms.Form):
    """A row of the log. ``row`` is the usage as it is, ``None`` for a new one; ``told`` is what the action gets.

    Fees are asked for with ``money`` only. ``sending`` is what app.js calls a new row.
    """

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    cue_number = forms.CharField(label=say("Cue number"), max_length=12, required=False)
    in_timecode = forms.CharField(label=say_as("point", "In"), max_length=16, required=False)
    out_timecode = forms.CharField(label=say_as("point", "Out"), max_length=16, required=False)
    song = forms.CharField(label=say("Song"), max_length=300, required=False)
    use = forms.ChoiceField(label=say("Use"), choices=USES, initial=Function.BACKGROUND)
    seen = forms.BooleanField(label=say("Seen"), required=False)
    vocal = forms.BooleanField(label=say("Vocal"), required=False)
    origin = forms.ChoiceField(label=say("Origin"), choices=ORIGINS, initial=Origin.PRE_EXISTING)
    scene = forms.CharField(label=say("Scene"), max_length=300, required=False)
    sync_estimate = AmountField(label=say("Sync estimate"), max_length=40, required=False)
    master_estimate = AmountField(label=say("Master estimate"), max_length=40, required=False)
    sending = forms.CharField(widget=forms.HiddenInput, max_length=32, required=False)

    def __init__(self, *args: Any, episode: Episode, row: LogRow | None = None, money: bool, **kwargs: Any) -> None:
        self.cut: Cut | None = episode.current_cut
        self.currency = episode.season.production.currency
        self.row = row
        self.before = shown(row, self.currency) if row else {}
        super().__init__(*args, **{"initial": self.before} | kwargs)
        self.fields["version"].required = row is not None
        if row is not None:
            del self.fields["sending"]
        if not money:
            for name in ESTIMATES:
                del self.fields[name]

    def clean_cue_number(self) -> str:
        """The number in capitals without spaces."""
        return tidy_cue_number(self.cleaned_data["cue_number"])

    def clean(self) -> dict[str, Any]:
        """Add ``fields``, as the actions take them."""
        data = super().clean() or {}
        fields: dict[str, Any] = {name: data[name] for name in ("cue_number", "scene", "notes") if name in data}
        fields |= self._facets(data)
        for read in (self._span, self._song, self._estimates):
            try:
                fields |= read(data)
            except BadValue as refused:
                refuse(self, refused)
        return {**data, "fields": fields}

    def _facets(self, data: Mapping[str, Any]) -> dict[str, Any]:
        use = data.get("use", "")
        function, _, position = use.partition("-")
        part = position if position in set(ProgrammePart) else ""
        # A part of anything but background is said through the API alone; the choice, left as it is, leaves it.
        told_part = {} if self.row is not None and use == self.before["use"] else {"part": part}
        return told_part | {
            "function": function,
            "theme_position": "" if part else position,
            # What is on screen is seen: nobody should have to say it twice.
            "seen": data.get("seen", False) or function == Function.ON_SCREEN,
            "vocal": Vocal.VOCAL if data.get("vocal") else Vocal.INSTRUMENTAL,
            "origin": data.get("origin", ""),
        }

    def _span(self, data: Mapping[str, Any]) -> dict[str, Span | None]:
        start, end = data.get("in_timecode", ""), data.get("out_timecode", "")
        if (start, end) == (self.before.get("in_timecode", ""), self.before.get("out_timecode", "")):
            return {}
        if not start and not end:
            return {"span": None}
        if self.cut is None:
            raise BadValue(
                "cut-missing",
                say("There is no cut to place it in."),
                place="in_timecode",
                mend=say("Add a cut first."),
            )
        for text, place, alone in ((start, "in_timecode", _OUT_ALONE), (end, "out_timecode", _IN_ALONE)):
            if not text:
                raise BadValue(
                    "point-missing",
                    alone,
                    place=place,
                    mend=say("Give both, or neither for music that is not in the cut yet."),
                )
        rate, cut_start = self.cut.frame_rate, self.cut.start_frame
        frame = read_in(start, rate, cut_start=cut_start)
        return {"span": check_span(frame, read_out(end, frame, rate, cut_start=cut_start))}

    def _song(self, data: Mapping[str, Any]) -> dict[str, Any]:
        text = data.get("song", "")
        if self.row is not None and text == self.before["song"]:
            return {}
        return song_fields(text)

    def _estimates(self, data: Mapping[str, Any]) -> dict[str, Any]:
        typed = {name: data[name] for name in ESTIMATES if name in data}
        if not typed or typed == {name: self.before.get(name, "") for name in typed}:
            return {}
        return estimate_fields(typed, self.currency)

    def told(self) -> dict[str, Any]:
        """The cleaned fields for an action."""
        return dict(self.cleaned_data["fields"])


class UsageForm(LogForm):
    """A usage on a page of its own, where there is room for notes and for the songs that its title may mean."""

    choice = forms.ChoiceField(
        label=say("Song in the catalogue"),
        required=False,
        help_text=say("Recordings and works that the title finds."),
    )
    notes = forms.CharField(label=say("Notes"), required=False, widget=forms.Textarea({"rows": 4}))

    field_order = (
        "cue_number",
        "scene",
        "in_timecode",
        "out_timecode",
        "song",
        "choice",
        "use",
        "origin",
        "seen",
        "vocal",
    )

    def __init__(self, *args: Any, songs: Iterable[Song], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        texts = [song_text(song) for song in songs]
        if texts:
            choices = [("", say("None of these")), *((text, text) for text in texts)]
            self.fields["choice"].choices = choices  # type: ignore[attr-defined]
        else:
            del self.fields["choice"]
        self.fields["song"].widget.attrs["data-picker"] = True
        self.fields["song"].help_text = say(
            "Part of a title or artist, and choose; or what is wanted, as a working title."
        )
        self.fields["out_timecode"].help_text = say("Or a length, such as +33s or +0:33.")

    def _song(self, data: Mapping[str, Any]) -> dict[str, Any]:
        return super()._song({**data, "song": data.get("choice") or data.get("song", "")})


def usage_label(usage: Usage) -> str:
    """What a message calls a usage: ``2M14 Evening Tide``."""
    song = usage.recording or usage.work or usage.title
    return f"{usage.cue_number} {song}".strip() or say("The usage")
