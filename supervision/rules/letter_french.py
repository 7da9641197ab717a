"""What letters say in French, with the trade's phrases that people type in English (``PHRASES``).

Spaces before high punctuation, inside guillemets and before the per cent sign are set when the table is read
(``letter_words``), as the *Lexique des règles typographiques en usage à l'Imprimerie nationale* wants them.
"""

from __future__ import annotations

from collections.abc import Mapping

FRENCH: Mapping[str, str] = {
    # --- how things are written
    "months": "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
    "first_of_month": "1er",
    "day": "{day} {month} {year}",
    "decimal_sign": ",",
    "thousands_sign": "\N{NARROW NO-BREAK SPACE}",
    "money": "{amount}\N{NO-BREAK SPACE}{currency}",
    "title": "« {title} »",
    "share": "{percent} %",
    "page": "Page",
    "page_of": "sur",
    # --- the head
    "draft": "Projet, non envoyé",
    "draft_reference": "attribuée à l’envoi",
    "label.date": "Date",
    "label.reference": "Notre référence",
    "running_head": "{company} à {holder}, {day}",
    "heading.request.sync": "Synchronisation : demande de devis",
    "heading.request.master": "Utilisation d’enregistrement : demande de devis",
    "heading.chaser.sync": "Synchronisation : rappel de notre demande de devis",
    "heading.chaser.master": "Utilisation d’enregistrement : rappel de notre demande de devis",
    "heading.confirmation.sync": "Synchronisation : confirmation des conditions",
    "heading.confirmation.master": "Utilisation d’enregistrement : confirmation des conditions",
    "subject": "{titles} dans {programme}",
    "subject_more": "{titles} et {count} autres",
    "salutation.person": "Bonjour {name},",
    "salutation.house": "À l’attention de {name},",
    "opening.request.sync": (
        "Nous souhaitons synchroniser les œuvres ci-dessous avec les images de la production décrite plus bas. Selon "
        "nos informations, vous contrôlez la part de l’œuvre indiquée pour chaque titre ; merci de nous corriger si tel "
        "n’est pas le cas."
    ),
    "opening.request.master": (
        "Nous souhaitons utiliser les enregistrements ci-dessous dans la production décrite plus bas. Selon nos "
        "informations, vous détenez ou contrôlez l’enregistrement dans la mesure indiquée pour chaque titre ; merci de "
        "nous corriger si tel n’est pas le cas."
    ),
    "opening.chaser.sync": (
        "Le {day}, sous notre référence {reference}, nous vous avons demandé un devis pour la synchronisation des "
        "œuvres ci-dessous dans la production décrite plus bas. Nous n’avons pas encore enregistré de réponse ; si la "
        "vôtre a croisé la présente, merci de ne pas tenir compte de ce rappel."
    ),
    "opening.chaser.master": (
        "Le {day}, sous notre référence {reference}, nous vous avons demandé un devis pour l’utilisation des "
        "enregistrements ci-dessous dans la production décrite plus bas. Nous n’avons pas encore enregistré de réponse ; "
        "si la vôtre a croisé la présente, merci de ne pas tenir compte de ce rappel."
    ),
    "opening.confirmation.sync": (
        "Nous vous remercions de votre devis. Nous confirmons ci-dessous, telles que nous les avons enregistrées, les "
        "conditions auxquelles les œuvres suivantes peuvent être synchronisées dans la production décrite."
    ),
    "opening.confirmation.master": (
        "Nous vous remercions de votre devis. Nous confirmons ci-dessous, telles que nous les avons enregistrées, les "
        "conditions auxquelles les enregistrements suivants peuvent être utilisés dans la production décrite."
    ),
    # --- the production
    "label.production": "Production",
    "label.type": "Genre",
    "label.episode": "Épisode",
    "label.company": "Société de production",
    "label.network": "Chaîne ou plateforme",
    "label.first_broadcast": "Première diffusion ou sortie",
    "label.synopsis": "Synopsis",
    "kind.series": "Série",
    "kind.feature": "Long métrage",
    "kind.pilot": "Pilote",
    "kind.game": "Jeu vidéo",
    "kind.trailer": "Bande-annonce",
    "season_episode": "Saison {season}, épisode {episode}",
    # --- a song
    "label.written_by": "Auteurs et compositeurs",
    "label.iswc": "ISWC",
    "label.performed_by": "Interprète",
    "label.version": "Version",
    "label.label": "Label",
    "label.isrc": "ISRC",
    "label.your_share": "Votre part",
    "label.other_publishers": "Autres éditeurs",
    "label.other_owners": "Autres ayants droit",
    "label.credit": "Mention au générique",
    "portion.for": "{share} pour {name}",
    "portion.other": "{name} {share}",
    "portion.in": "{portion} ({territory})",
    "holder_unknown": "ayant droit inconnu",
    "credit.written_by": "Paroles et musique : {names}",
    "credit.published_by": "Éditions : {names}",
    "credit.performed_by": "Interprété par {names}",
    "credit.courtesy": "Avec l’aimable autorisation de {names}",
    # --- a use
    "label.cue": "Repère",
    "label.scene": "Scène",
    "label.how": "Mode d’utilisation",
    "label.timing": "Durée",
    "label.offer": "Notre offre",
    "label.fee": "Prix",
    "scene_missing": "à décrire",
    "timing": "jusqu’à {time}",
    "timing_missing": "à confirmer",
    "offer_none": "devis demandé",
    "how": "{place}, {vocal}",
    "how.vocal": "avec voix",
    "how.instrumental": "instrumental",
    "how.theme": "générique",
    "how.opening": "générique de début",
    "how.closing": "générique de fin",
    "how.segment": "thème d’une séquence",
    "how.logo": "avec un logo",
    "how.bumper": "avant ou après une coupure",
    "how.rolled_up": "musique de fond, en plusieurs passages",
    "how.on_screen": "interprété ou diffusé à l’image",
    "how.seen": "musique de fond, source visible à l’image",
    "how.background": "musique de fond",
    # --- what is asked for
    "label.rights.request": "Droits demandés",
    "label.rights.chaser": "Droits demandés",
    "label.rights.confirmation": "Droits",
    "label.media": "Médias",
    "label.territory": "Territoire",
    "label.term": "Durée des droits",
    "label.promotion": "Promotion",
    "label.options": "Options",
    "options_intro": (
        "Merci de chiffrer séparément chacune des options suivantes ; aucune n’est comprise dans le prix des droits "
        "ci-dessus."
    ),
    "option_line": "{option} : à chiffrer séparément",
    "label.fee_section": "Prix",
    "fee.ask.sync": (
        "Merci de nous indiquer votre prix pour chaque utilisation, en précisant s’il s’entend pour 100 % de l’œuvre ou "
        "pour votre part."
    ),
    "fee.ask.master": (
        "Merci de nous indiquer votre prix pour chaque utilisation, en précisant s’il s’entend pour 100 % de "
        "l’enregistrement ou pour votre part."
    ),
    "fee.ask_full.sync": "Merci de nous indiquer votre prix pour chaque utilisation, pour 100 % de l’œuvre.",
    "fee.ask_full.master": "Merci de nous indiquer votre prix pour chaque utilisation, pour 100 % de l’enregistrement.",
    "fee.ask_share.sync": "Merci de nous indiquer votre prix pour chaque utilisation, pour votre part de l’œuvre.",
    "fee.ask_share.master": (
        "Merci de nous indiquer votre prix pour chaque utilisation, pour votre part de l’enregistrement."
    ),
    "fee.offer_full.sync": (
        "Nous offrons les prix indiqués en regard des utilisations, pour 100 % de l’œuvre et payables au prorata."
    ),
    "fee.offer_full.master": (
        "Nous offrons les prix indiqués en regard des utilisations, pour 100 % de l’enregistrement et payables au prorata."
    ),
    "fee.offer_share.sync": "Nous offrons les prix indiqués en regard des utilisations, pour votre part de l’œuvre.",
    "fee.offer_share.master": (
        "Nous offrons les prix indiqués en regard des utilisations, pour votre part de l’enregistrement."
    ),
    "fee.offer_some": "Lorsqu’aucun prix n’est indiqué, merci de chiffrer sur la même base.",
    "fee.offered_for": "{amount} pour {name}",
    "fee.favoured": (
        "La clause de la nation la plus favorisée (MFN) est offerte : au prorata, aucun autre ayant droit de l’œuvre ou de "
        "l’enregistrement ne sera mieux payé pour la même utilisation."
    ),
    "fee.confirmed.sync": "Le prix indiqué en regard de chaque utilisation est celui dû pour votre part de l’œuvre.",
    "fee.confirmed.master": (
        "Le prix indiqué en regard de chaque utilisation est celui dû pour votre part de l’enregistrement."
    ),
    "fee.accepted": "{payable}",
    "fee.accepted_part": "{payable} ({share} de {amount})",
    "fee.accepted_share": "{payable} (pour vos {share})",
    "questions_intro": "Merci de nous dire également",
    "question.favoured": "si votre devis comporte une clause de la nation la plus favorisée (MFN), et avec qui ;",
    "question.others": "qui administre les parts restantes, si vous le savez ;",
    "question.writer_approval": "si un auteur ou compositeur doit approuver l’utilisation, et ce qu’il n’approuve pas ;",
    "question.credit": "la mention que vous souhaitez au générique ;",
    "question.samples": "si l’enregistrement contient des échantillons ou d’autres éléments appartenant à des tiers ;",
    "question.unions": "si une nouvelle utilisation donne lieu à des paiements aux musiciens ou à leurs syndicats ;",
    "question.artist_approval": "si l’artiste doit approuver l’utilisation, et ce qu’il n’approuve pas ;",
    "question.label_copy": "la mention que vous souhaitez au générique, et le libellé du phonogramme ;",
    "question.validity": "la durée de validité de votre devis.",
    "question.need": "s’il vous manque un élément pour établir votre devis ;",
    "question.whom": "à qui nous adresser, si ce n’est pas à vous.",
    "answer_by": "Nous vous serions reconnaissants de votre réponse avant la fin du {day}.",
    "answer_soon": "Nous vous serions reconnaissants de votre réponse dès que possible.",
    "confirm_by": "Merci de confirmer avant la fin du {day} l’exactitude de ce qui précède.",
    "confirm_soon": "Merci de confirmer l’exactitude de ce qui précède.",
    # --- what was accepted
    "label.terms": "Conditions de {cue}",
    "label.terms_all": "Conditions",
    "label.quoted": "Devis",
    "quoted_on": "reçu le {day}",
    "label.favoured": "Nation la plus favorisée",
    "favoured_yes": "oui",
    "favoured_with": "avec {scope}",
    "scope.side": "ce volet du titre",
    "scope.song": "les deux volets du titre",
    "scope.episode-side": "ce volet de tous les titres",
    "scope.all": "toutes les parties",
    "label.conditions": "Réserves",
    "condition.artist": "accord de l’artiste",
    "condition.writer": "accord de l’auteur ou du compositeur",
    "condition.edit": "accord sur le montage",
    "condition.violence": "pas de scène de violence",
    "condition.alcohol": "pas d’alcool ni de tabac",
    "condition.other": "autre réserve",
    "condition_met": "{condition} (donné le {day})",
    "option.theatrical": "Exploitation en salles",
    "option.in_context": "Promotion avec la scène (in-context)",
    "option.out_of_context": "Publicité hors contexte",
    "option.soundtrack": "Album de la bande originale",
    "option.extension": "Prolongation",
    "option.other": "Option supplémentaire",
    "option_terms": "{option} : {media}, {territory}, {fee}",
    "option_until": "{option}, à lever avant la fin du {day}",
    "option_exercised": "{option}, levée le {day}",
    "label.licence": "Contrat de licence",
    "licence": "{number} du {day}",
    "label.granted": "Droits accordés",
    "granted": "{media}, {territory}, {term}",
    "term.perpetuity": "à partir du {first}, à perpétuité",
    "term.dates": "du {first} au {last} inclus",
    "term.until": "jusqu’au {last} inclus",
    "term.from_event": "{length} à compter de {event}",
    "term.for_ever": "à perpétuité",
    "term.year": "{count} an",
    "term.years": "{count} ans",
    "term.month": "{count} mois",
    "term.months": "{count} mois",
    "event.first_broadcast": "la première diffusion",
    "event.first_use": "la première exploitation",
    "event.release": "la sortie",
    "event.signature": "la signature",
    "event.delivery": "la livraison",
    # --- the end
    "caution.request": (
        "La présente est une demande de devis. Aucun droit n’est accordé avant la signature d’un contrat de licence, et un "
        "devis n’engage aucun de nous à l’utilisation. Toute licence est subordonnée à un contrat et à l’examen d’un "
        "conseil juridique."
    ),
    "caution.chaser": (
        "La présente est une demande de devis. Aucun droit n’est accordé avant la signature d’un contrat de licence, et un "
        "devis n’engage aucun de nous à l’utilisation. Toute licence est subordonnée à un contrat et à l’examen d’un "
        "conseil juridique."
    ),
    "caution.confirmation": (
        "La présente rappelle des conditions et n’accorde par elle-même aucun droit. Le contrat de licence signé prévaut ; "
        "il est subordonné à l’examen d’un conseil juridique."
    ),
    "closing": "Nous vous prions d’agréer nos salutations distinguées.",
    "countersign": (
        "Merci de confirmer l’exactitude de ce qui précède en signant ci-dessous et en nous renvoyant une copie de cette lettre."
    ),
    "countersign.for": "Confirmé pour {holder}",
    "countersign.signature": "Signature",
    "countersign.name": "Nom et qualité",
    "countersign.date": "Date",
}

PHRASES: Mapping[str, str] = {
    "all media": "tous médias",
    "all media now known or hereafter devised": "tous médias connus ou à venir",
    "all media now known or hereafter devised, excluding theatrical": (
        "tous médias connus ou à venir, hors exploitation en salles"
    ),
    "all media excluding theatrical": "tous médias, hors exploitation en salles",
    "all media excl. theatrical": "tous médias, hors exploitation en salles",
    "all television": "toute télévision",
    "theatrical": "exploitation en salles",
    "streaming": "diffusion en continu",
    "world": "monde entier",
    "worldwide": "monde entier",
    "in perpetuity": "à perpétuité",
    "perpetuity": "à perpétuité",
    "life of copyright": "pour la durée légale de protection",
    "none": "aucune",
    "included": "comprise",
    "in-context promotion included; out-of-context promotion as an option, priced separately": (
        "promotion avec la scène (in-context) comprise ; promotion hors contexte en option, à chiffrer séparément"
    ),
    "theatrical release": "exploitation en salles",
    "in-context promotion": "promotion avec la scène (in-context)",
    "in-context promotion included": "promotion avec la scène (in-context) comprise",
    "out-of-context advertising": "publicité hors contexte",
    "out-of-context promotion": "promotion hors contexte",
    "soundtrack": "album de la bande originale",
    "soundtrack album": "album de la bande originale",
    "extension": "prolongation",
    "extension of the term": "prolongation de la durée des droits",
    "trailers": "bandes-annonces",
    "film festivals": "festivals de cinéma",
    "one year": "un an",
    "two years": "deux ans",
    "three years": "trois ans",
    "five years": "cinq ans",
    "ten years": "dix ans",
    "1 year": "1 an",
    "2 years": "2 ans",
    "3 years": "3 ans",
    "5 years": "5 ans",
    "10 years": "10 ans",
}
