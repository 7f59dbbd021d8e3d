"""What the gardener wrote, made into frozen values; every fault is told at once."""
