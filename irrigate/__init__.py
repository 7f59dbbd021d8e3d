"""Foresees when each pot will be dry, and says which to water, when and how much."""
