"""Planning: what would happen under another policy; pure, arrays in and arrays out."""
