"""The generators: each turns one sort of handbook knowledge into blueprints of items."""
