"""What the units of the trade are, in SI; each exact by definition."""

INCH_M = 0.0254  # international yard and pound agreement, 1959
US_GALLON_L = 3.785411784  # 231 cubic inches
IMPERIAL_GALLON_L = 4.54609  # United Kingdom, Weights and Measures Act 1985
POUND_KG = 0.45359237  # international yard and pound agreement, 1959
