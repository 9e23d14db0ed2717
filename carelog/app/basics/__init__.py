"""The record's basics: what a first evening asks, which of it is recorded, how an answer is saved."""
