"""The timeline: everything that was recorded, newest first, day and night grouped."""
