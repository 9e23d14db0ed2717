"""The household's things: tube, spare-tube box, machines, supplies, and a power cut."""
