"""Guidance by ear: the words of a brew as short sounds, a pitch while pouring, the word spoken."""
