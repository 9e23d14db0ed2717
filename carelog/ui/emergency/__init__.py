"""The emergency page: the person's own plan first, in large letters, from anywhere by one key."""
