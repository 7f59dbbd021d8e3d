"""The garden: frozen descriptions and pure steps; no clock, file, network or thread."""
