"""The append-only record of the garden: in a file, or in memory."""
