"""The quiz companion: items from the handbook, marking, spaced repetition, progress, test sheets."""
