"""Help: one short page for each page of the window, offline; the rules and the keys from their own tables."""
