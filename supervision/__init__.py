"""Ledger Line: the music supervisor's log, clearances, money, letters and cue sheets."""
