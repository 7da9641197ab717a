"""What letters say in English: the table that every other language is held to (``letter_words``)."""

from __future__ import annotations

from collections.abc import Mapping

ENGLISH: Mapping[str, str] = {
    # --- how things are written
    "months": "January February March April May June July August September October November December",
    "first_of_month": "1",
    "day": "{day} {month} {year}",
    "decimal_sign": ".",
    "thousands_sign": ",",
    "money": "{currency} {amount}",
    "title": "“{title}”",
    "share": "{percent} %",
    "page": "Page",
    "page_of": "of",
    # --- the head
    "draft": "Draft, not sent",
    "draft_reference": "given when sent",
    "label.date": "Date",
    "label.reference": "Our reference",
    "running_head": "{company} to {holder}, {day}",
    "heading.request.sync": "Synchronisation: request for a quotation",
    "heading.request.master": "Master use: request for a quotation",
    "heading.chaser.sync": "Synchronisation: reminder of our request for a quotation",
    "heading.chaser.master": "Master use: reminder of our request for a quotation",
    "heading.confirmation.sync": "Synchronisation: confirmation of terms",
    "heading.confirmation.master": "Master use: confirmation of terms",
    "subject": "{titles} in {programme}",
    "subject_more": "{titles} and {count} more",
    "salutation.person": "Dear {name},",
    "salutation.house": "Dear {name},",
    "opening.request.sync": (
        "We would like to synchronise the following with picture in the production described below, and understand that "
        "you control the share of the composition stated beside each title. Please correct us where that is not so."
    ),
    "opening.request.master": (
        "We would like to use the following in the production described below, and understand that you own or control "
        "the recording to the extent stated beside each title. Please correct us where that is not so."
    ),
    "opening.chaser.sync": (
        "On {day}, under our reference {reference}, we asked you for a quotation for synchronising the following with "
        "picture in the production described below. We have no answer on record yet; if it has crossed with this "
        "letter, please disregard the reminder."
    ),
    "opening.chaser.master": (
        "On {day}, under our reference {reference}, we asked you for a quotation for using the following recordings in "
        "the production described below. We have no answer on record yet; if it has crossed with this letter, please "
        "disregard the reminder."
    ),
    "opening.confirmation.sync": (
        "Thank you for your quotation. We confirm below the terms, as we have recorded them, on which the following may "
        "be synchronised with picture in the production described."
    ),
    "opening.confirmation.master": (
        "Thank you for your quotation. We confirm below the terms, as we have recorded them, on which the following "
        "recordings may be used in the production described."
    ),
    # --- the production
    "label.production": "Production",
    "label.type": "Type",
    "label.episode": "Episode",
    "label.company": "Production company",
    "label.network": "Network or platform",
    "label.first_broadcast": "First broadcast or release",
    "label.synopsis": "Synopsis",
    "kind.series": "Series",
    "kind.feature": "Feature",
    "kind.pilot": "Pilot",
    "kind.game": "Game",
    "kind.trailer": "Trailer",
    "season_episode": "Season {season}, Episode {episode}",
    # --- a song
    "label.written_by": "Written by",
    "label.iswc": "ISWC",
    "label.performed_by": "Performed by",
    "label.version": "Version",
    "label.label": "Label",
    "label.isrc": "ISRC",
    "label.your_share": "Your share",
    "label.other_publishers": "Other publishers",
    "label.other_owners": "Other owners",
    "label.credit": "Credit",
    "portion.for": "{share} for {name}",
    "portion.other": "{name} {share}",
    "portion.in": "{portion} in {territory}",
    "holder_unknown": "holder not known",
    "credit.written_by": "Written by {names}",
    "credit.published_by": "Published by {names}",
    "credit.performed_by": "Performed by {names}",
    "credit.courtesy": "Courtesy of {names}",
    # --- a use
    "label.cue": "Cue",
    "label.scene": "Scene",
    "label.how": "How it is used",
    "label.timing": "Timing",
    "label.offer": "Our offer",
    "label.fee": "Fee",
    "scene_missing": "to be described",
    "timing": "up to {time}",
    "timing_missing": "to be confirmed",
    "offer_none": "please quote",
    "how": "{place}, {vocal}",
    "how.vocal": "with vocals",
    "how.instrumental": "instrumental",
    "how.theme": "theme",
    "how.opening": "opening theme",
    "how.closing": "closing theme",
    "how.segment": "theme of a segment",
    "how.logo": "with a logo",
    "how.bumper": "into or out of a break",
    "how.rolled_up": "background, in several passages",
    "how.on_screen": "performed or played on screen",
    "how.seen": "background, its source seen",
    "how.background": "background",
    # --- what is asked for
    "label.rights.request": "Rights requested",
    "label.rights.chaser": "Rights requested",
    "label.rights.confirmation": "Rights",
    "label.media": "Media",
    "label.territory": "Territory",
    "label.term": "Term",
    "label.promotion": "Promotion",
    "label.options": "Options",
    "options_intro": (
        "Please price each of the following separately; none of them is included in the fee for the rights above."
    ),
    "option_line": "{option}: priced separately",
    "label.fee_section": "Fee",
    "fee.ask.sync": (
        "Please quote your fee for each use, and say whether it is stated for 100 % of the composition or for your share."
    ),
    "fee.ask.master": (
        "Please quote your fee for each use, and say whether it is stated for 100 % of the recording or for your share."
    ),
    "fee.ask_full.sync": "Please quote your fee for each use, stated for 100 % of the composition.",
    "fee.ask_full.master": "Please quote your fee for each use, stated for 100 % of the recording.",
    "fee.ask_share.sync": "Please quote your fee for each use, stated for your share of the composition.",
    "fee.ask_share.master": "Please quote your fee for each use, stated for your share of the recording.",
    "fee.offer_full.sync": "We offer the fees stated beside the uses, for 100 % of the composition and payable pro rata.",
    "fee.offer_full.master": "We offer the fees stated beside the uses, for 100 % of the recording and payable pro rata.",
    "fee.offer_share.sync": "We offer the fees stated beside the uses, for your share of the composition.",
    "fee.offer_share.master": "We offer the fees stated beside the uses, for your share of the recording.",
    "fee.offer_some": "Where none is stated, please quote on the same basis.",
    "fee.offered_for": "{amount} for {name}",
    "fee.favoured": (
        "Most favoured nations is offered: pro rata, no other licensor of either side of the music will be paid a better "
        "rate for the same use."
    ),
    "fee.confirmed.sync": "The fee stated beside each use is what is payable for your share of the composition.",
    "fee.confirmed.master": "The fee stated beside each use is what is payable for your share of the recording.",
    "fee.accepted": "{payable}",
    "fee.accepted_part": "{payable} ({share} of {amount})",
    "fee.accepted_share": "{payable} (for your {share})",
    "questions_intro": "Please also tell us",
    "question.favoured": "whether your quotation is on a most-favoured-nations basis, and with whom;",
    "question.others": "who administers the remaining shares, where you know it;",
    "question.writer_approval": "whether any writer must approve the use, and what they do not approve;",
    "question.credit": "the credit you require;",
    "question.samples": "whether the recording contains samples or other material of third parties;",
    "question.unions": "whether payments for the new use (re-use) are due to musicians or their unions;",
    "question.artist_approval": "whether the artist must approve the use, and what they do not approve;",
    "question.label_copy": "the courtesy credit you require, and the label copy;",
    "question.validity": "how long your quotation is valid.",
    "question.need": "whether you need anything further from us in order to quote;",
    "question.whom": "whom we should ask, if not you.",
    "answer_by": "We would be grateful for your answer by {day}.",
    "answer_soon": "We would be grateful for your answer as soon as you can give it.",
    "confirm_by": "Please confirm by {day} that the above is accurate.",
    "confirm_soon": "Please confirm that the above is accurate.",
    # --- what was accepted
    "label.terms": "Terms of {cue}",
    "label.terms_all": "Terms",
    "label.quoted": "Quotation",
    "quoted_on": "received on {day}",
    "label.favoured": "Most favoured nations",
    "favoured_yes": "yes",
    "favoured_with": "with {scope}",
    "scope.side": "this side of the song",
    "scope.song": "both sides of the song",
    "scope.episode-side": "this side of every song",
    "scope.all": "every party",
    "label.conditions": "Conditions",
    "condition.artist": "approval by the artist",
    "condition.writer": "approval by the writer",
    "condition.edit": "approval of the edit",
    "condition.violence": "not with violence",
    "condition.alcohol": "not with alcohol or tobacco",
    "condition.other": "other condition",
    "condition_met": "{condition} (given on {day})",
    "option.theatrical": "Theatrical",
    "option.in_context": "In-context promotion",
    "option.out_of_context": "Out-of-context advertising",
    "option.soundtrack": "Soundtrack",
    "option.extension": "Extension",
    "option.other": "Further option",
    "option_terms": "{option}: {media}, {territory}, {fee}",
    "option_until": "{option}, exercisable until {day}",
    "option_exercised": "{option}, exercised on {day}",
    "label.licence": "Licence",
    "licence": "{number} of {day}",
    "label.granted": "Granted",
    "granted": "{media}, {territory}, {term}",
    "term.perpetuity": "from {first} in perpetuity",
    "term.dates": "{first} to {last}",
    "term.until": "until {last}",
    "term.from_event": "{length} from {event}",
    "term.for_ever": "in perpetuity",
    "term.year": "{count} year",
    "term.years": "{count} years",
    "term.month": "{count} month",
    "term.months": "{count} months",
    "event.first_broadcast": "first broadcast",
    "event.first_use": "first use",
    "event.release": "release",
    "event.signature": "signature",
    "event.delivery": "delivery",
    # --- the end
    "caution.request": (
        "This is a request for a quotation. No rights are granted until a licence has been signed, and a quotation "
        "commits neither of us to the use. Any licence is subject to contract and to review by counsel."
    ),
    "caution.chaser": (
        "This is a request for a quotation. No rights are granted until a licence has been signed, and a quotation "
        "commits neither of us to the use. Any licence is subject to contract and to review by counsel."
    ),
    "caution.confirmation": (
        "This letter restates terms and grants no rights by itself. The signed licence prevails; it is subject to "
        "contract and to review by counsel."
    ),
    "closing": "With kind regards,",
    "countersign": "Please confirm that the above is accurate by signing below and returning a copy of this letter.",
    "countersign.for": "Confirmed for {holder}",
    "countersign.signature": "Signature",
    "countersign.name": "Name and position",
    "countersign.date": "Date",
}
