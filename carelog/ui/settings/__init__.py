"""Settings: how the window looks, which tiles stand where, the people, the record's copies."""
