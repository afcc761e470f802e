"""Seasons whose truth is known, from entries to verdict: how often ranges hold it and verdicts are wrong."""
