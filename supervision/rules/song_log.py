"""A song log as a table: the fields its columns may have. ``rules.song_log_rows`` reads its rows."""

from __future__ import annotations

import re
from typing import Final

from supervision.rules.column_mapping import Field, Target
from supervision.rules.column_times import looks_like_timecode
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.sentence import say


def _words(heads: str) -> tuple[str, ...]:
    return tuple(heads.split(" | "))


def _is_isrc(text: str) -> bool:
    return check_identifier(Scheme.ISRC, text).valid


def _is_iswc(text: str) -> bool:
    return check_identifier(Scheme.ISWC, text).valid


def _is_cue_number(text: str) -> bool:
    return bool(re.fullmatch(r"[0-9]{1,2}[mM][0-9]{1,3}[A-Za-z]?", text.strip(), re.ASCII))


SONG_LOG: Final = Target(
    "song_log",
    (
        Field(
            "cue_number",
            say("Cue number"),
            _words(
                "cue | cue no | cue nr | cue num | cue number | cue # | cue id | # | no | nr | number | "
                "m no | m number | music no | music number | numero | numero de cue | repere | "
                "no de repere | numero de repere | nummer | musiknummer | musik nr | lfd nr"
            ),
            shape=_is_cue_number,
        ),
        Field(
            "title",
            say("Title"),
            _words(
                "title | song | song title | track | track title | track name | music title | cue title | "
                "work title | music | name | composition | titel | musiktitel | werktitel | werk | stuck | "
                "lied | titre | titre du morceau | titre de l oeuvre | morceau | oeuvre | chanson | "
                "musique"
            ),
        ),
        Field(
            "working_title",
            say("Working title"),
            _words("working title | arbeitstitel | titre de travail | temp title"),
        ),
        Field("version", say("Version"), _words("version | version title | mix | fassung | edit version")),
        Field(
            "artist",
            say("Artist"),
            _words(
                "artist | artists | artist name | performer | performers | performed by | singer | band | "
                "interpret | interpretin | interpreten | kunstler | ausfuhrende | interprete | interpretes | "
                "artiste | artistes"
            ),
        ),
        Field(
            "in",
            say("In"),
            _words(
                "in | tc in | timecode in | time in | in point | in time | in tc | record in | rec in | "
                "start | start time | start tc | begin | from | anfang | beginn | von | einstieg | "
                "start timecode | debut | entree | tc entree | depart | tc debut"
            ),
            shape=looks_like_timecode,
            time=True,
        ),
        Field(
            "out",
            say("Out"),
            _words(
                "out | tc out | timecode out | time out | out point | out time | out tc | record out | "
                "rec out | end | end time | end tc | to | stop | ende | bis | ausstieg | end timecode | "
                "fin | sortie | tc sortie | tc fin"
            ),
            shape=looks_like_timecode,
            time=True,
        ),
        Field(
            "duration",
            say("Duration"),
            _words(
                "duration | dur | length | timing | time | use length | length used | run time | "
                "running time | duration used | dauer | lange | laenge | spieldauer | zeit | duree | "
                "duree utilisee | longueur | minutage | temps"
            ),
            shape=looks_like_timecode,
            time=True,
        ),
        Field(
            "use",
            say("Use"),
            _words(
                "use | usage | use code | usage code | usage type | use type | type of use | type | "
                "music use | function | code | verwendung | verwendungsart | verwendungszweck | "
                "musikeinsatz | nutzung | nutzungsart | funktion | einsatz | utilisation | "
                "type d utilisation | emploi | fonction"
            ),
        ),
        Field(
            "theme_position",
            say("Theme position"),
            _words("theme position | position of theme | themenposition | position du theme"),
        ),
        Field(
            "seen",
            say("Seen"),
            _words("seen | visual | visible | on screen | on camera | sichtbar | im bild | a l image | a l ecran | vu"),
        ),
        Field(
            "vocal",
            say("Vocal"),
            _words(
                "vocal | vocals | v i | vocal instrumental | vocal or instrumental | lyrics | gesang | "
                "vokal | voix | chant | paroles"
            ),
        ),
        Field(
            "origin",
            say("Origin"),
            _words(
                "origin | music origin | source of music | music source | music type | herkunft | musikart | "
                "origine | provenance"
            ),
        ),
        Field(
            "part",
            say("Part of the programme"),
            _words("part | programme part | part of the programme | programmteil | partie"),
        ),
        Field("isrc", say("ISRC"), _words("isrc | isrc code | code isrc"), shape=_is_isrc),
        Field("iswc", say("ISWC"), _words("iswc | iswc code | code iswc"), shape=_is_iswc),
        Field(
            "label",
            say("Label"),
            _words(
                "label | record label | record company | master owner | plattenfirma | tontrager | "
                "tontragerfirma | maison de disques | label de disques | producteur phonographique | "
                "library"
            ),
        ),
        Field(
            "catalogue_number",
            say("Catalogue number"),
            _words(
                "catalogue no | catalogue number | catalogue nr | catalog no | catalog number | cat no | "
                "cat number | catalogue # | catalog # | album no | katalognummer | katalog nr | "
                "bestellnummer | numero de catalogue | no de catalogue | reference | ref"
            ),
        ),
        Field(
            "track_number",
            say("Track number"),
            _words("track no | track number | track nr | track # | titelnummer | track id | no de piste | piste"),
        ),
        Field(
            "writers",
            say("Writers"),
            _words(
                "writers | writer | writer s | composer | composers | composer s | songwriter | "
                "songwriters | written by | composed by | komponist | komponisten | komponist autor | "
                "autor | autoren | urheber | compositeur | compositeurs | auteur | auteurs | "
                "auteur compositeur | auteurs compositeurs"
            ),
        ),
        Field(
            "publishers",
            say("Publishers"),
            _words(
                "publishers | publisher | publisher s | published by | publishing | verlag | verlage | "
                "musikverlag | editeur | editeurs | edition | editions"
            ),
        ),
        Field(
            "scene",
            say("Scene"),
            _words("scene | scene description | scene no | description | szene | szenenbeschreibung | scene decrite"),
        ),
        Field(
            "notes",
            say("Notes"),
            _words(
                "notes | note | comment | comments | remark | remarks | bemerkung | bemerkungen | "
                "anmerkung | anmerkungen | notiz | remarque | remarques | commentaire | commentaires"
            ),
        ),
    ),
)
