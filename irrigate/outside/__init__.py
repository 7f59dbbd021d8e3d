"""The world outside: one file for each thing in it."""
