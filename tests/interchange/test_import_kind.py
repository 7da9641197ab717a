"""Cut or song log, by content before name."""

import pytest

from supervision.interchange.import_kind import CUT, SONG_LOG, kind_of

EVENT = b"001  AX  AA  C  00:00:00:00 00:00:10:00 01:00:00:00 01:00:10:00\n"


@pytest.mark.parametrize(
    ("data", "name", "kind"),
    [
        (EVENT, "reel.edl", CUT),
        (EVENT, "reel.txt", CUT),
        (EVENT.replace(b"  ", b"\t").replace(b"\n", b"\r\n"), "", CUT),
        (b"TITLE: NOTHING\n", "", CUT),
        (b"Cue\tTitle\tIn\n1M1\tTide\t0:10\n", "", SONG_LOG),
        (b"Cue,Title,In\n1M1,Tide,0:10\n", "log.txt", SONG_LOG),
        (b"\xef\xbb\xbfCue;Title;In\n1M1;Tide;0:10\n", "log.txt", SONG_LOG),
        (b"Title\nTide\n", "log.csv", SONG_LOG),
        (EVENT, "log.csv", SONG_LOG),
        (b"PK\x03\x04rest", "log.xlsx", SONG_LOG),
        (b"PK\x03\x04rest", "log", SONG_LOG),
        (b"PK\x03\x04rest", "cut.otioz", CUT),
        (b"\xef\xbb\xbf <?xml version='1.0'?>", "cut", CUT),
        (b'{"OTIO_SCHEMA": 1}', "cut.json", CUT),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "cut", CUT),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old.csv", SONG_LOG),
        (b"a\0b,c,d", "noise", CUT),
        (b"", "", CUT),
    ],
)
def test_kind_of_a_file(data, name, kind):
    assert kind_of(data, name) == kind
