"""The Textual app. Nothing here imports the handbook or the search before the first frame stands."""
