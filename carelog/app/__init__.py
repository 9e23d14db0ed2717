"""What a person can do with the record, and the ports that the store and the sheets fit."""
