"""What an entry, a plan, a due and a flag is; moments and units; the words a declaration may use."""
