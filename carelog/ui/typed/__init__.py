"""The page on which a filled sheet of paper is typed in."""
