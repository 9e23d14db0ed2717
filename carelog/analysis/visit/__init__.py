"""What a visiting nurse reads and signs: two periods side by side, questions, signatures, check codes."""
