"""What people and devices hand in, until the journal has it: in a folder, or in memory."""
