"""The equations, in reading order; arrays in, arrays out."""
