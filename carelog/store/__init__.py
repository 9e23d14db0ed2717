"""The record file: entries that are only ever added, durable before anyone is told that they are saved."""
