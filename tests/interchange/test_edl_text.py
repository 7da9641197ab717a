"""Bytes into lines: ends, padding, marks, encodings, and what is no text."""

import pytest

from supervision.interchange.edl_text import MOST_LINES, read_lines
from supervision.rules.errors import UnreadableFile


def texts(data):
    return [(line.number, line.text) for line in read_lines(data)[0]]


def told(data):
    return [(warning.line, warning.text) for warning in read_lines(data)[1]]


def test_lines_end_in_every_way_and_keep_their_numbers():
    assert texts(b"a\r\nb\rc\n\n\r\nd") == [(1, "a"), (2, "b"), (3, "c"), (6, "d")]


def test_padding_at_the_end_is_dropped():
    assert texts(b"a\r\n" + b"\x1a" * 300 + b"\0" * 20) == [(1, "a")]
    assert told(b"a\r\n" + b"\x1a" * 300 + b"\0" * 20) == []


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_unicode_is_read_with_a_mark_and_without(encoding):
    text = "TITLE: Été 海\r\n001  AX  A  C\r\n"
    assert texts(text.encode(encoding)) == [(1, "TITLE: Été 海"), (2, "001  AX  A  C")]
    assert told(text.encode(encoding)) == []


def test_big_endian_mark():
    assert texts(b"\xfe\xff" + "Été".encode("utf-16-be")) == [(1, "Été")]


def test_half_a_character_of_utf_16_is_marked():
    assert texts("a line".encode("utf-16") + b"\x41") == [(1, "a line\ufffd")]


@pytest.mark.parametrize(
    ("text", "encoding", "spoken"),
    [
        ("Café du Port", "cp1252", "Windows-1252"),
        ("don’t – €5", "cp1252", "Windows-1252"),
        ("Café du Port", "mac_roman", "Mac Roman"),
        ("Огни гавани", "cp1251", "Windows-1251"),
        ("ハーバー", "shift_jis", "Shift JIS"),
        ("海边的灯.wav", "gb18030", "GB 18030"),
    ],
)
def test_older_encoding_in_one_line_is_read_and_told_with_its_line(text, encoding, spoken):
    data = b"TITLE: PLAIN\n* FROM CLIP NAME: " + text.encode(encoding) + b"\nTITLE: \xc3\x89t\xc3\xa9\n"
    assert texts(data)[1:] == [(2, f"* FROM CLIP NAME: {text}"), (3, "TITLE: Été")]
    assert told(data) == [(2, f"The line is not UTF-8: read as {spoken}, “* FROM CLIP NAME: {text}”.")]


def test_character_cut_in_half_leaves_the_rest_of_the_line_as_it_is():
    data = "* FROM CLIP NAME: 夜の港".encode()[:-1] + b" \n"
    assert texts(data) == [(1, "* FROM CLIP NAME: 夜の\ufffd")]
    assert told(data) == [(1, "The line has broken characters, “* FROM CLIP NAME: 夜の\ufffd”.")]


def test_bare_returns_hint_at_mac_roman():
    assert texts("«nuit»".encode("mac_roman") + b"\r\r") == [(1, "«nuit»")]
    assert texts("«nuit»".encode("cp1252") + b"\n\n") == [(1, "«nuit»")]


def test_bytes_that_the_guessed_encoding_lacks_are_read_as_mac_roman():
    # 0x81 and 0x9D are unassigned in Windows-1252 (WHATWG index); Mac Roman assigns every byte.
    assert told(b"1\x9d2\xe9a")[0][1].startswith("The line is not UTF-8: read as Mac Roman")


def test_control_characters_are_read_as_spaces_and_told():
    data = b"001 AX A C and a long line so that it is text\n002\x00AX\x0cA\x1bC and the next one is long too\n"
    assert texts(data)[1] == (2, "002 AX A C and the next one is long too")
    assert told(data) == [(2, "The line has control characters: read as spaces.")]


@pytest.mark.parametrize(
    ("data", "line", "column"),
    [
        (bytes(range(256)) * 20, 1, 1),
        (b"TITLE: X\r\nab\x00\x01\x02\x03", 2, 3),
        (b"TITLE: X\rab\x00\x01\x02\x03", 2, 3),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\1\0\0\0\1", 2, 1),
    ],
)
def test_binary_is_refused_with_line_and_column(data, line, column):
    with pytest.raises(UnreadableFile) as refused:
        read_lines(data)
    assert (refused.value.line, refused.value.column) == (line, column)
    assert str(refused.value).startswith(f"Line {line}, column {column}: The byte 0x")


def test_too_many_lines_are_refused():
    with pytest.raises(UnreadableFile) as refused:
        read_lines(b"x\n" * (2 * MOST_LINES + 2))
    assert str(refused.value) == "The file has more than 500,000 lines. Export the music tracks alone."
