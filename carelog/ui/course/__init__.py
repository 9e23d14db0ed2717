"""The page of the course: weeks to a year over one axis of time."""
