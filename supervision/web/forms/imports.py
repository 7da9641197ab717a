"""Forms of imports: the file to read, how it is read, and the new cut that it goes into."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, ClassVar

from django import forms
from django.utils.text import capfirst

from supervision.interchange.import_kind import CUT, SONG_LOG
from supervision.queries.imports import Opened
from supervision.rules.column_times import TimeForm
from supervision.rules.cut_cues import GAP
from supervision.rules.durations import clock, read_length, whole_seconds
from supervision.rules.errors import BadValue
from supervision.rules.import_setup import FieldTime, Setup, Target, TrackGuess
from supervision.rules.sentence import say
from supervision.rules.song_log import SONG_LOG as LOG_TARGET
from supervision.rules.table import column_letter
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode, wrapped
from supervision.web.forms.productions import rate_choices, rate_key, read_rate_key
from supervision.web.forms.rows import DayInput
from supervision.web.language import tell
from supervision.web.submit import refuse

_AS_SAID = [("", say("as the file says or hints"))]
_KINDS = [("", say("as it looks")), (CUT, say("a cut (edit list, timeline)")), (SONG_LOG, say("a song log (table)"))]
_ENDINGS = ".edl,.txt,.xml,.fcpxml,.otio,.aaf,.csv,.tsv,.xlsx"


class ReadFileForm(forms.Form):
    """A file, or what was copied out of one."""

    file = forms.FileField(
        label=say("File"),
        required=False,
        allow_empty_file=True,  # the reader says what is wrong with an empty one
        max_length=255,
        help_text=say(
            "An edit list (EDL), a timeline (XML, OpenTimelineIO, AAF), or a song log (CSV, TSV, XLSX); 20 MB at most."
        ),
        widget=forms.FileInput({"accept": _ENDINGS}),
    )
    text = forms.CharField(
        label=say("Or paste it"),
        required=False,
        strip=False,
        help_text=say(
            "The text of an edit list, or cells copied from a spreadsheet with their heads. More than 2 MB: as a file."
        ),
        widget=forms.Textarea({"rows": 4, "spellcheck": "false"}),
    )
    kind = forms.ChoiceField(label=say("Kind of file"), choices=_KINDS, required=False)
    rate = forms.ChoiceField(label=say("Frame rate"), choices=lambda: [*_AS_SAID, *rate_choices()], required=False)

    def clean(self) -> dict[str, Any]:
        """Add ``data``, the bytes, and their ``name``."""
        found = super().clean() or {}
        file, text = found.get("file"), found.get("text", "")
        if file is not None and text.strip():
            self.add_error("text", say("There is a file and a text. Give one of them."))
        elif file is None and not text.strip() and "file" not in self.errors:
            self.add_error("file", say("Choose a file, or paste its text below."))
        return found

    @property
    def lost_file(self) -> bool:
        """Whether a file was chosen that browsers do not keep over a refusal."""
        return self.is_bound and "file" in self.files

    def told(self) -> dict[str, Any]:
        """Name, bytes, kind and setup as the action takes them."""
        found = self.cleaned_data
        file = found["file"]
        return {
            "name": file.name if file is not None else "",
            "data": file.read() if file is not None else found["text"].encode(),
            "kind": found["kind"],
            "setup": with_rate(Setup(), found["rate"]),
        }


def with_rate(setup: Setup, key: str) -> Setup:
    """The setup with a rate as the forms name it; blank leaves it to the file."""
    if not key:
        return replace(setup, rate="", drop=None)
    rate = read_rate_key(key)
    can_drop = rate.fps in (Fraction(30000, 1001), Fraction(60000, 1001))
    return replace(setup, rate=rate.exact, drop=rate.drop if can_drop else None)


class SetUpForm(forms.Form):
    """How a cut file is read and laid out."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    rate = forms.ChoiceField(label=say("Frame rate"), choices=lambda: [*_AS_SAID, *rate_choices()], required=False)
    tracks = forms.MultipleChoiceField(
        label=say("Tracks with music"), required=False, widget=forms.CheckboxSelectMultiple
    )
    gap = forms.IntegerField(
        label=say("Seconds of silence after which it is another cue"),
        min_value=0,
        max_value=3_600,
        required=False,
        help_text=say("Shorter silences in one piece of music are bridged."),
    )
    file_start = forms.CharField(
        label=say("The programme starts in the file at"),
        max_length=16,
        required=False,
        help_text=say("The file’s timecode of the cut’s first frame. Blank: guessed."),
    )

    def __init__(self, data: Any = None, *, opened: Opened, tracks: Sequence[TrackGuess] = (), **kwargs: Any) -> None:
        setup = opened.setup
        self.opened = opened
        rate = FrameRate(Fraction(setup.rate), bool(setup.drop)) if setup.rate else None
        start = setup.file_start
        initial = {
            "version": opened.draft.version,
            "rate": rate_key(rate) if rate else "",
            "tracks": list(setup.tracks or ()),
            "gap": int(GAP) if setup.gap is None else setup.gap,
            "file_start": "" if start is None else format_timecode(wrapped(start, opened.rate), opened.rate),
        }
        super().__init__(data, initial=initial, **kwargs)
        self.fields["tracks"].choices = [(guess.track, guess.track) for guess in tracks]  # type: ignore[attr-defined]
        if not tracks:
            del self.fields["tracks"]
        if opened.reading is None:
            del self.fields["rate"], self.fields["gap"]

    @property
    def chosen_tracks(self) -> list[str]:
        """The ticked tracks, as sent or as they are."""
        return list(self["tracks"].value() or ()) if "tracks" in self.fields else []

    @property
    def plain_fields(self) -> list[forms.BoundField]:
        """What the page shows one below the other."""
        return [field for field in self.visible_fields() if field.name in self.plain]

    plain: ClassVar = ("rate", "gap", "file_start")

    def clean(self) -> dict[str, Any]:
        """Add ``setup`` as the action takes it."""
        data = super().clean() or {}
        if self.errors:
            return data
        setup = self.opened.setup
        if "rate" in self.fields:
            setup = replace(
                with_rate(setup, data["rate"]), gap=None if data["gap"] in (None, int(GAP)) else data["gap"]
            )
        if "tracks" in self.fields:
            if not data["tracks"]:
                self.add_error("tracks", say("Nothing would be read. Choose a track at least."))
                return data
            setup = replace(setup, tracks=tuple(data["tracks"]))
        try:
            data["setup"] = replace(setup, file_start=self._start(data["file_start"]))
        except BadValue as refused:
            refuse(self, refused)
        return data

    def _start(self, text: str) -> int | None:
        return parse_timecode(text, self.opened.rate, place="file_start") if text.strip() else None


class ColumnsForm(SetUpForm):
    """How a song log's columns are read: a field and, for times, their form for each column."""

    sheet = forms.ChoiceField(label=say("Sheet"), required=False)
    heading = forms.IntegerField(
        label=say("Row of the column heads"), min_value=0, max_value=50_000, help_text=say("0 where there are none.")
    )
    field_order = ("version", "sheet", "heading", "file_start")

    def __init__(
        self, data: Any = None, *, opened: Opened, columns: Sequence[str], forms_of_times: dict[str, str], **kwargs: Any
    ) -> None:
        super().__init__(data, opened=opened, **kwargs)
        table = opened.table
        assert table is not None  # noqa: S101 # the view chose this form for a table
        self.fields["sheet"].choices = [(sheet, sheet) for sheet in table.sheets]  # type: ignore[attr-defined]
        if len(table.sheets) < 2:
            del self.fields["sheet"]
        self.initial.update(sheet=table.sheet, heading=table.heading)
        choices = [("", say("left out")), *((one.name, one.label) for one in LOG_TARGET.fields)]
        for index, (heading, name) in enumerate(zip(table.columns, columns, strict=True)):
            label = f"{column_letter(index)} {heading}".strip()
            self.fields[f"column-{index}"] = forms.ChoiceField(
                label=label, choices=choices, required=False, initial=name
            )
        for one in LOG_TARGET.fields:
            if one.time:
                self.fields[f"times-{one.name}"] = forms.ChoiceField(
                    label=say("{field} is written as", field=one.label),
                    choices=[("", say("as most cells look")), *((form.value, form.label) for form in TimeForm)],
                    required=False,
                    initial=forms_of_times.get(one.name, ""),
                )

    @property
    def plain_fields(self) -> list[forms.BoundField]:
        """Sheet, heads and start, then the forms of times."""
        return [field for field in self.visible_fields() if not field.name.startswith("column-")]

    @property
    def column_fields(self) -> list[forms.BoundField]:
        """The choices of the columns, in order."""
        return [self[name] for name in self.fields if name.startswith("column-")]

    def clean(self) -> dict[str, Any]:
        """Add the columns; another sheet or heading makes the columns anew."""
        data = super().clean()
        setup: Setup | None = data.get("setup")
        table = self.opened.table
        if setup is None or self.errors or table is None:
            return data
        sheet, heading = data.get("sheet") or table.sheet, data["heading"]
        same = (sheet, heading) == (table.sheet, table.heading)
        said = setup.sheet or ("" if sheet == table.sheet else sheet)
        names = [name for name in self.fields if name.startswith("column-")]
        times = [(name.removeprefix("times-"), data[name]) for name in self.fields if name.startswith("times-")]
        data["setup"] = replace(
            setup,
            sheet=sheet if said else "",
            heading=heading if sheet == table.sheet else None,
            columns=tuple(data[name] for name in names) if same else None,
            times=tuple(FieldTime(name, form) for name, form in times if form) if same else (),
        )
        return data


class AcceptForm(forms.Form):
    """Where an import goes: a new cut with its name, day and running time, or the current one."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    token = forms.CharField(widget=forms.HiddenInput, required=False)
    target = forms.ChoiceField(label=say("It goes into"), choices=(), widget=forms.RadioSelect)
    label = forms.CharField(
        label=say("Name of the new cut"),
        max_length=60,
        required=False,
        help_text=say("What the editors call it, such as Fine cut 2."),
    )
    dated = forms.DateField(label=say("Date"), required=False, widget=DayInput)
    running_time = forms.CharField(
        label=say("Running time of the new cut"),
        max_length=16,
        required=False,
    )

    def __init__(self, data: Any = None, *, opened: Opened, **kwargs: Any) -> None:
        self.opened = opened
        frames, why = opened.running
        self.shown_running = _running_text(frames, opened.rate)
        initial = {
            "version": opened.draft.version,
            "token": opened.token,
            "target": opened.target.value,
            "label": opened.setup.label,
            "dated": opened.setup.dated,
            "running_time": self.shown_running,
        }
        super().__init__(data, initial=initial, **kwargs)
        choices = [(Target.NEW.value, say("a new cut"))]
        if opened.cut is not None:
            choices.append((Target.CURRENT.value, say("the current cut, {cut}", cut=opened.cut)))
        self.fields["target"].choices = choices  # type: ignore[attr-defined]
        self.fields["target"].help_text = f"{capfirst(tell(opened.target_why))}."
        self.fields["running_time"].help_text = say("As h:mm:ss, mm:ss or hh:mm:ss:ff. Now: {why}.", why=why)

    def clean(self) -> dict[str, Any]:
        """Add ``setup``: what is said of the new cut."""
        data = super().clean() or {}
        if self.errors:
            return data
        setup = self.opened.setup
        target = Target(data["target"])
        if target is not self.opened.target:
            setup = replace(setup, target=target)
        setup = replace(setup, label=data["label"], dated=data["dated"])
        text = data["running_time"].strip()
        if text and text != self.shown_running:
            try:
                setup = replace(setup, running=read_length(text, self.opened.rate, place="running_time"))
            except BadValue as refused:
                refuse(self, refused)
        data["setup"] = setup
        return data


def _running_text(frames: int, rate: FrameRate) -> str:
    """A running time as its field shows it, to the frame where it has a label."""
    return format_timecode(frames, rate) if frames < rate.day else clock(whole_seconds(frames, rate))
