"""XML with every door shut: entities (CWE-776), external ids (CWE-611), depth, size, encodings (XML 1.0, 4.2, 4.3.3, F)."""

import pytest

from supervision.interchange.cut_file import read_cut
from supervision.interchange.xml_timeline import read, recognises
from supervision.interchange.xml_timeline_tree import DEEPEST, LONGEST_WORD, MOST_ELEMENTS, parse_xml
from supervision.rules.errors import UnreadableFile
from tests.interchange.timeline_files import FOLDER, remarks

REEL = (
    "<xmeml><sequence><name>{}</name><rate><timebase>25</timebase></rate><timecode><string>00:00:00:00</string></timecode>"
    "<media><audio><track><clipitem><name>{}</name><start>0</start><end>9</end></clipitem></track></audio></media>"
    "</sequence></xmeml>"
)


def refused(data):
    with pytest.raises(UnreadableFile) as caught:
        read(data, rate=None, drop=None)
    return caught.value


@pytest.mark.parametrize(
    ("data", "name", "known"),
    [
        (b"<?xml version='1.0'?><xmeml/>", "cut", True),
        (b"\xef\xbb\xbf\r\n<!DOCTYPE xmeml><xmeml/>", "cut.txt", True),
        ("<xmeml/>".encode("utf-16"), "cut", True),
        ("<fcpxml/>".encode("utf-16-be"), "cut", True),
        (b"<other/>", "cut.xml", True),
        (b"<other/>", "cut.txt", False),
        (b"TITLE: X", "cut.xml", False),
        (b"", "cut.xml", False),
    ],
)
def test_recognised_by_content_and_by_name_only_where_it_is_open(data, name, known):
    assert recognises(data, name) is known


def test_both_roots_are_read_by_the_one_door():
    for name in ("xmeml-drop-frame.xml", "fcpxml-connected.fcpxml"):
        assert read_cut((FOLDER / name).read_bytes(), name="cut").events


def test_other_xml_is_named():
    fault = refused(b"<?xml version='1.0'?>\n<svg/>")
    assert (fault.code, fault.line) == ("xml-unknown", 2)
    assert "<svg>" in fault.text


@pytest.mark.parametrize(
    ("doctype", "code"),
    [
        ('<!DOCTYPE xmeml [<!ENTITY a "b">]>', "xml-entities"),
        ('<!DOCTYPE xmeml [<!ENTITY % a "b">]>', "xml-entities"),
        ('<!DOCTYPE xmeml [<!ENTITY a SYSTEM "file:///etc/passwd">]>', "xml-entities"),
        ('<!DOCTYPE xmeml [<!NOTATION n SYSTEM "x"><!ENTITY a SYSTEM "x" NDATA n>]>', "xml-entities"),
        ('<!DOCTYPE xmeml [<!ENTITY a "aa"><!ENTITY b "&a;&a;"><!ENTITY c "&b;&b;">]>', "xml-entities"),
        ('<!DOCTYPE xmeml [<!ATTLIST a b CDATA "c">]>', "xml-entities"),
        ('<!DOCTYPE xmeml SYSTEM "http://127.0.0.1/x.dtd">', "xml-external"),
        ('<!DOCTYPE xmeml PUBLIC "-//X//Y" "x.dtd">', "xml-external"),
    ],
)
def test_entities_and_external_ids_are_refused_with_their_place(doctype, code):
    fault = refused(f"<?xml version='1.0'?>\n{doctype}\n<xmeml>&a;</xmeml>".encode())
    assert (fault.code, fault.line) == (code, 2)
    assert fault.column > 1


def test_bare_doctype_is_no_reason_to_refuse():
    assert read(f"<!DOCTYPE xmeml>{REEL.format('a', 'b')}".encode(), rate=None, drop=None).title == "a"
    inner = "<!DOCTYPE xmeml [<!ELEMENT xmeml ANY><!ATTLIST xmeml version CDATA #IMPLIED>]>"
    assert read(f"{inner}{REEL.format('a', 'b')}".encode(), rate=None, drop=None).title == "a"


@pytest.mark.parametrize(
    ("data", "line", "column"),
    [
        (b"<xmeml>\n  <sequence>\n</xmeml>", 3, 3),
        (b"<xmeml>\n<a>\x01</a></xmeml>", 2, 4),
        (b"<xmeml>&nope;</xmeml>", 1, 8),
        (b"<xmeml><a b='1' b='2'/></xmeml>", 1, 17),
        (b"<xmeml", 1, 1),
        (b"<?xml version='1.0'?>", 1, 22),
        (b"<xmeml>\0</xmeml>", 1, 8),
    ],
)
def test_broken_xml_names_line_and_column(data, line, column):
    fault = refused(data)
    assert (fault.code, fault.line, fault.column) == ("xml-broken", line, column)


def test_depth_is_bounded():
    fault = refused(b"<xmeml>" + b"<a>" * 100_000)
    assert (fault.code, fault.line) == ("xml-too-large", 1)
    assert f"more than {DEEPEST} deep" in fault.text
    assert refused(b"<xmeml>" + b"<labels>" * 100_000).code == "xml-too-large"


@pytest.mark.parametrize(
    "data",
    [
        b"<xmeml xmlns='%s'/>" % (b"u" * 2000),
        b"<xmeml xmlns:p='%s'><a p:b=''/></xmeml>" % (b"u" * 2000),
        b"<%s/>" % (b"x" * 2000),
    ],
)
def test_names_are_bounded_with_their_namespaces(data):
    fault = refused(data)
    assert (fault.code, "more than 1,000 characters" in fault.text) == ("xml-too-large", True)


def test_number_of_elements_is_bounded(monkeypatch):
    monkeypatch.setattr("supervision.interchange.xml_timeline_tree.MOST_ELEMENTS", 1000)
    fault = refused(b"<xmeml>" + b"<a/>" * 1001 + b"</xmeml>")
    assert "more than 1,000 elements" in fault.text
    assert MOST_ELEMENTS == 1_000_000


def test_long_texts_are_cut_and_long_attributes_harmless():
    root, _ = parse_xml(b"<a><b>" + b"x" * 1_000_000 + b"</b></a>")
    assert len(root.children[0].text) == LONGEST_WORD
    assert parse_xml(b"<a b='" + b"x" * 10_000_000 + b"'/>")[0].tag == "a"


def test_elements_that_say_nothing_about_places_are_not_kept():
    root, _ = parse_xml(b"<a><b>x<c>y</c>z</b><d><b>n</b>m</d>tail</a>", left_out=frozenset("b"))
    assert [(each.tag, each.text) for each in root.children] == [("d", "m")]


def test_name_of_ten_megabytes_is_shown_in_short():
    name = read(REEL.format("T", "n" * 10_000_000).encode(), rate=None, drop=None).events[0].name
    assert len(name) == 500
    assert name.endswith("n…")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le", "utf-16-be", "iso-8859-1", "windows-1252"])
def test_encodings(encoding):
    declared = f'<?xml version="1.0" encoding="{encoding.removesuffix("-le").removesuffix("-be")}"?>'
    text = declared + REEL.format("Été", "Bœuf" if encoding != "iso-8859-1" else "Bouf")
    reading = read(text.encode(encoding), rate=None, drop=None)
    assert reading.title == "Été"
    assert reading.warnings == ()


def test_windows_characters_in_a_file_that_says_utf_8_are_read_and_told():
    text = '<?xml version="1.0" encoding="UTF-8"?>\n' + REEL.format("Reel", "Café “Noir”")
    reading = read(text.encode("cp1252"), rate=None, drop=None)
    assert reading.events[0].name == "Café “Noir”"
    assert remarks(reading) == ["Line 2 has characters that are not UTF-8; the file is read as Windows-1252."]


def test_windows_characters_in_the_other_root():
    text = "<fcpxml><resources><format id='f' frameDuration='1/25s'/></resources><project name='Café'><sequence format='f'>\n"
    text += "<spine><asset-clip name='Été' duration='1s'/></spine></sequence></project></fcpxml>"
    reading = read(text.encode("cp1252"), rate=None, drop=None)
    assert (reading.title, reading.events[0].name) == ("Café", "Été")
    assert remarks(reading) == ["Line 1 has characters that are not UTF-8; the file is read as Windows-1252."]


@pytest.mark.parametrize("encoding", ["klingon", "shift_jis", "utf-7"])
def test_encoding_that_is_not_known_is_refused(encoding):
    fault = refused(f'<?xml version="1.0" encoding="{encoding}"?><xmeml/>'.encode())
    assert fault.code == "xml-encoding"
