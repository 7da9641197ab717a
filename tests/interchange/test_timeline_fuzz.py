"""Nothing but the readers' own error may come out of a timeline, whatever has been done to the file."""

from hypothesis import given, settings
from hypothesis import strategies as st

from supervision.interchange.cut_file import read_cut
from supervision.rules.errors import UnreadableFile
from supervision.rules.timeline import CutReading
from tests.interchange.timeline_files import FOLDER

TEXTS = {path.name: path.read_bytes() for path in sorted(FOLDER.iterdir()) if path.suffix != ".aaf"}
SPLINTERS = st.one_of(
    st.binary(max_size=8),
    st.sampled_from(
        [
            *(
                b"-1",
                b"0",
                b"1e999",
                b"NaN",
                b"Infinity",
                b"-Infinity",
                b"9" * 5000,
                b"null",
                b"true",
                b"[]",
                b"{}",
                b'""',
            ),
            *(b"<a>", b"</a>", b"]]>", b"<!--", b"&lt;", b"<![CDATA[", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\\ud800"),
            *(b"[" * 2000, b"{" * 2000, b'"', b"<track>", b"</track>", b"0/0s", b"1/1s", b"-5s", b"99999999999999999s"),
            *(b"id='seq-1'", b"<sequence id='mix'/>", b"2400000000000000000000", b"\\", b"\n", b"\r"),
        ]
    ),
)


@st.composite
def spoilt(draw):
    """A good file with some pieces cut out, put in, repeated or overwritten."""
    name = draw(st.sampled_from(sorted(TEXTS)))
    data = TEXTS[name]
    for _ in range(draw(st.integers(1, 6))):
        here = draw(st.integers(0, len(data)))
        there = min(len(data), here + draw(st.integers(0, 60)))
        deed = draw(st.sampled_from(["cut", "put", "repeat", "overwrite", "end"]))
        if deed == "cut":
            data = data[:here] + data[there:]
        elif deed == "put":
            data = data[:here] + draw(SPLINTERS) + data[here:]
        elif deed == "repeat":
            data = data[:there] + data[here:]
        elif deed == "overwrite":
            data = data[:here] + draw(SPLINTERS) + data[there:]
        else:
            data = data[:here]
    return name, data


def check(name, data):
    try:
        reading = read_cut(data, name=name)
    except UnreadableFile:
        return
    assert isinstance(reading, CutReading)
    assert all(event.record_in >= 0 <= event.record_out for event in reading.events)
    "".join([reading.title, *(event.name + event.reel for event in reading.events)]).encode()


@settings(max_examples=300, deadline=None)
@given(spoilt())
def test_spoilt_timeline_is_read_or_refused(file):
    check(*file)


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from([b"<?xml version='1.0'?>", b"<xmeml>", b"<fcpxml>", b'{"OTIO_SCHEMA":', b"[", b"PK\x03\x04", b""]),
    st.binary(max_size=200),
    st.sampled_from(["a.xml", "a.fcpxml", "a.otio", "a.otioz", "a"]),
)
def test_garbage_after_a_good_beginning(beginning, rest, name):
    check(name, beginning + rest)


NUMBER = st.one_of(
    st.integers(-10, 5000).map(str),
    st.sampled_from(["", "-1", "NaN", "1e400", "99999999999", "-99999999999", "0.5", "3/2", "١٢"]),
)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["clipitem", "transitionitem"]), NUMBER, NUMBER, NUMBER, NUMBER), max_size=6),
    NUMBER,
)
def test_any_numbers_in_a_sequence(items, base):
    clips = "".join(
        f"<{tag}><start>{a}</start><end>{b}</end><in>{c}</in><out>{d}</out></{tag}>" for tag, a, b, c, d in items
    )
    check(
        "a.xml",
        f"<xmeml><sequence><rate><timebase>{base}</timebase></rate><timecode><string>{base}</string><frame>{base}</frame>"
        f"</timecode><media><audio><track>{clips}</track></audio></media></sequence></xmeml>".encode(),
    )


TIME = st.one_of(
    st.fractions(-10, 5000, max_denominator=60000).map(lambda value: f"{value.numerator}/{value.denominator}s"),
    st.sampled_from(["", "0s", "5s", "1/0s", "-3600s", "999999999999999999s", "1.5s", "NaN", "1e9s"]),
)
TAGS = st.sampled_from(
    [
        "asset-clip",
        "clip",
        "gap",
        "spine",
        "ref-clip",
        "mc-clip",
        "sync-clip",
        "audition",
        "transition",
        "title",
        "audio",
        "video",
    ]
)


@settings(max_examples=200, deadline=None)
@given(
    st.recursive(
        st.tuples(TAGS, TIME, TIME, TIME, st.sampled_from(["", "1", "-1", "--1", "x", "-²"]), st.just([])),
        lambda inner: st.tuples(TAGS, TIME, TIME, TIME, st.sampled_from(["", "1", "-1"]), st.lists(inner, max_size=3)),
        max_leaves=8,
    ),
    TIME,
    TIME,
)
def test_any_times_in_a_storyline(item, frame, start):
    def written(each):
        tag, offset, duration, begins, lane, inside = each
        attributes = f'offset="{offset}" duration="{duration}" start="{begins}" lane="{lane}" ref="m"'
        return f"<{tag} {attributes}>{''.join(map(written, inside))}</{tag}>"

    media = f"<media id='m'><sequence tcStart='{start}'><spine>{written(item)}</spine></sequence></media>"
    check(
        "a.fcpxml",
        f"<fcpxml><resources><format id='f' frameDuration='{frame}'/>{media}</resources><project><sequence format='f' "
        f"tcStart='{start}'><spine>{written(item)}</spine></sequence></project></fcpxml>".encode(),
    )
