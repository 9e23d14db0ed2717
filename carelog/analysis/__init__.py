"""What the record shows: entries and a moment in, values out."""
