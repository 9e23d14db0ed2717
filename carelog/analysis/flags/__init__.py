"""What is flagged: the rules at work on a record, and the flags of a moment or a period."""
