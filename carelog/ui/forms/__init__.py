"""Forms, built from the kinds' declarations: one control a field."""
