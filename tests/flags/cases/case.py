"""The form of a case."""

Case = tuple[str, list[str], list[str]]
