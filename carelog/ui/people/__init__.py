"""Who records: chosen at one press, added in a short form."""
