"""The commands: what each takes and prints; each loads only what it needs, none but `demo` Qt."""
