"""What is in the cooler and on the bench: lots, their history, what to use first, what the shop loses."""
