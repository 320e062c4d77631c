"""Which passages of the handbook belong to a question: by words at once, by meaning when the encoder is ready."""

from assistant.retrieval.retriever import Hit, Results, Retriever

__all__ = ["Hit", "Results", "Retriever"]
