"""The demo: invented productions, read from ``fixtures/demo`` and entered by the same actions that people use.

Loading is idempotent: a person, party, work, recording or production that is already there is left as it is, with
whatever somebody made of it since. Every row is marked as demo data; identifiers are well-formed and mean nobody.
"""
