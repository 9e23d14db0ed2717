"""The board: tiles that record at one press, the receipt, what is flagged and what is due."""
