"""A letter as an e-mail draft: a message (RFC 5322) that mail programs open for sending, with the PDF attached.

``X-Unsent: 1`` is what makes common mail programs open it as a draft (a convention, no standard). The message is
multipart/mixed of multipart/alternative (plain text, then HTML) and the PDF; the name of an attachment in any script
travels as RFC 2231 has it. Nothing is sent here.
"""

from __future__ import annotations

import re
import unicodedata
from datetime import datetime
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime

from django.template.loader import render_to_string
from django.utils import translation

from supervision.documents.letter import letter_pdf
from supervision.documents.letter_layout import laid_out
from supervision.documents.letter_text import letter_text
from supervision.documents.paper import PageSize
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.frozen import digest, to_plain
from supervision.rules.letter import LetterContent
from supervision.rules.sentence import say

MEDIA_TYPE = "message/rfc822"
LONGEST_NAME = 100


def letter_eml(letter: LetterContent, *, at: datetime, page: PageSize = PageSize.A4) -> bytes:
    """The letter as a draft of an e-mail, dated ``at`` (aware). ``Conflict`` where the production has no address.

    A holder without an address leaves the draft without a recipient, to be filled in. ``BadValue`` for a name or an
    address that would break out of its header.
    """
    house, whom, layout = letter.letterhead, letter.addressee, laid_out(letter)
    if not house.email:
        raise Conflict(
            "sender-missing",
            say("An e-mail needs a sender, and the production has no contact address."),
            place="contact_email",
            mend=say("Give the production an e-mail address."),
        )
    message = EmailMessage(policy=SMTP)
    message["X-Unsent"] = "1"
    message["From"] = sender = _address(house.contact_name or house.company, house.email, "contact_email")
    if whom.email:
        message["To"] = _address(whom.contact or whom.name, whom.email, "holder")
    message["Subject"] = _one_line(
        " – ".join(filter(None, (letter.heading, letter.subject, letter.reference))), "subject"
    )
    message["Date"] = format_datetime(at)
    message["Message-ID"] = f"<{digest(to_plain(letter))[:32]}@{sender.domain}>"
    message.set_content(letter_text(layout))
    with translation.override(letter.language):
        told = render_to_string("documents/letter_mail.html", {"layout": layout, "letter": letter})
    message.add_alternative(told, subtype="html")
    message.add_attachment(
        letter_pdf([letter], page=page), maintype="application", subtype="pdf", filename=f"{file_stem(letter)}.pdf"
    )
    message["Content-Language"] = letter.language  # last: what stands there before goes to the first part
    return message.as_bytes()


def file_stem(letter: LetterContent) -> str:
    """What the letter's files are called, in the holder's own script: ``WEIR-101-S-0001 Reed Harbour Music``.

    What file systems refuse or act upon becomes a hyphen; a draft says so in its own language.
    """
    named = f"{letter.reference or laid_out(letter).draft} {letter.addressee.name}"
    safe = "".join("-" if _refused(character) else character for character in named)
    return re.sub(r"\s+", " ", safe)[:LONGEST_NAME].strip(" .")


def _refused(character: str) -> bool:
    return character in '/\\:*?"<>|' or unicodedata.category(character) in {"Cc", "Cf", "Cs"}


def _address(name: str, email: str, place: str) -> Address:
    """A name and an address for a header; a domain in another script in its ASCII form (RFC 5891)."""
    named = _one_line(name, place)
    local, _, domain = email.rpartition("@")
    if not local:
        raise _unreadable(email, place)
    try:
        return Address(named, addr_spec=f"{local}@{domain.encode('idna').decode()}")
    except (ValueError, IndexError, MessageError) as refused:
        raise _unreadable(email, place) from refused


def _unreadable(email: str, place: str) -> BadValue:
    return BadValue(
        "address-unreadable",
        say("“{address}” is no address that an e-mail can carry.", address=_shown(email)),
        place=place,
        mend=say("Correct the address of the contact."),
    )


def _one_line(text: str, place: str) -> str:
    """The text itself; a line break in a header would begin another header (RFC 5322, 2.2), so it is refused."""
    if any(unicodedata.category(character) == "Cc" or character in "\u2028\u2029" for character in text):
        raise BadValue(
            "header-broken",
            say(
                "“{text}” has a line break or control character, which an e-mail's head cannot carry.",
                text=_shown(text),
            ),
            place=place,
            mend=say("Write it in one line."),
        )
    return text


def _shown(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:80]
