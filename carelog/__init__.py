"""A care record for a person with a tracheostomy at home."""

__version__ = "0.1.0"
