"""The course: what was recorded, day by day or week by week on one axis of time, as rows of values."""
