"""The first run: begin a record, look round in a made-up one, or open one; then short steps."""
