"""What a nurse's visit reads of a record: two periods side by side, what was signed, a check code."""
