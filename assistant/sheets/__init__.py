"""A whole job worked out: what to order, when to do what, when to visit; printed, as a calendar, as a list."""
