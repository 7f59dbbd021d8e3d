"""What the trade knows of plants, mixes and pots: data only, each value with its source."""
