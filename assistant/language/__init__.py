"""From what a person typed to a Question: no model, only grammar, the unit table and the handbook's names."""
