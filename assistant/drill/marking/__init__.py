"""Marking: what an answer in free text is worth."""
