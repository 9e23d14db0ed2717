"""Going out: what is taken along, and out and back."""
