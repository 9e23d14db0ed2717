"""The care plan: what is due how often, limits, quiet hours, instructions; a change is an entry."""
