"""What leaves the house: the envelope, its keys, the recovery code (`resources/format/envelope.md`)."""
