"""The handbook: typed entries, loading, validation with file and line."""
