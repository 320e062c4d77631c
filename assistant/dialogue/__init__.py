"""Conversation: what is missing, which figure, the reply, the cautions, asking back, declining."""
