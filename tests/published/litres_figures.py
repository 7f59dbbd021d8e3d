"""Published figures of what single plants used, with what their sources leave us to assume.

Tags: V read in the source's own table or text; A read in an abstract, or quoted by another work.
Assumptions are ours and, like all sizes and weather here, from memory of what is usual.
"""

from __future__ import annotations

from tests.published.litres_cases import Figure
from tests.published.litres_vegetables import VEGETABLES
from tests.published.litres_woody import WOODY

FIGURES: tuple[Figure, ...] = VEGETABLES + WOODY

LEFT_OUT = (
    (
        "pepper in 15 L of coconut fibre, 905 mm and 3.9 kg (IRRIGA 25:361, 2020, abstract): the "
        "ground that the depth is counted over is not in the abstract. Its own 43.8 kg/ha per mm "
        "means about 1 m², so 890 L; over the pot's top it would be about 65 L."
    ),
    (
        "pepper in 17 cm pots outdoors, Barcelona (Martínez Farré, Tapia, Cañameras 1984, "
        "abstract): two litres in the morning were not enough by the afternoon, but how much of "
        "them the pot held is not said."
    ),
    (
        "Rhaphiolepis in 11.4 L, 101 L to market size (Beeson 2012, HortScience 47:264, abstract), "
        "and Viburnum, 155 L (Beeson 2010): how many days that took is not in the abstracts."
    ),
    (
        "25 shrubs in 10.2 L, Michigan (Warsaw and others 2009, HortScience 44:1308, abstract): "
        "water given per plant and season, without sizes."
    ),
    (
        "ferns, Calathea and Stromanthe in a shaded greenhouse, 4 to 240 mL a day (Beeson and "
        "Chen 2018; Beeson, Kjelgren, Chen 2020, abstracts): no size, and our catalogue knows no "
        "such plants."
    ),
    (
        "grapevine, up to 5 L a day (Myburgh 2016, abstract): its leaf area, on which it hung, is "
        "not in the abstract."
    ),
    (
        "strawberry, a crop coefficient of 0.35–0.6 over the field (Tucson thesis, 1995, "
        "abstract): how much of the field the plants covered is not said."
    ),
    "tomato in a container, 0.8–2 L a day (garden pages): no pot, size, weather or method stated.",
)
