"""XML timelines, known by their root element: ``<xmeml>`` (the interchange XML up to version 7) and ``<fcpxml>``."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from supervision.interchange.xml_timeline_fcpxml import read_fcpxml
from supervision.interchange.xml_timeline_tree import parse_xml
from supervision.interchange.xml_timeline_xmeml import read_xmeml
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import say
from supervision.rules.timeline import CutReading

_HEAD: Final = 4096  # bytes in which the root element begins
# Elements with many children that say nothing about where a clip stands.
_LEFT_OUT: Final = frozenset(
    {
        *("labels", "logginginfo", "comments", "colorinfo", "samplecharacteristics", "outputs", "itemhistory", "uuid"),
        *("thumbnail", "keyframe", "metadata", "smart-collection", "keyword-collection", "bookmark", "object-tracker"),
        *(
            "adjust-transform",
            "adjust-crop",
            "adjust-color-conform",
            "filter-video",
            "text",
            "text-style-def",
            "keyword",
        ),
    }
)


def recognises(data: bytes, name: str) -> bool:
    """Tell whether the file is XML; an XML of another kind than ours is refused by name in ``read``."""
    head = data[:_HEAD].lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n\0").replace(b"\0", b"")
    return head.startswith((b"<?xml", b"<!DOCTYPE", b"<xmeml", b"<fcpxml")) or (
        name.lower().endswith((".xml", ".fcpxml")) and head.startswith(b"<")
    )


def read(data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """Read the timeline; ``rate`` and ``drop`` are what a person said. Raises ``UnreadableFile``."""
    root, remark = parse_xml(data, left_out=_LEFT_OUT)
    if root.tag == "xmeml":
        return read_xmeml(root, rate=rate, drop=drop, remark=remark)
    if root.tag == "fcpxml":
        return read_fcpxml(root, rate=rate, drop=drop, remark=remark)
    raise UnreadableFile(
        "xml-unknown",
        say("The XML begins with <{tag}>, which is no timeline that is read here.", tag=root.tag[:40]),
        mend=say("Export the sequence as XML whose first element is <xmeml> or <fcpxml>."),
        line=root.line,
    )
