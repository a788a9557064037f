"""Times of the US model food code and of the plant rule for patties, beside what the shipped germs ask."""

from __future__ import annotations

from published._shipped import celsius, data, rulebase
from published._tables import beside

CASES = data("food_code_cases.yaml")
CHARTS = {
    "roast_table": "red_meat",
    "non_intact_chart": "red_meat",
    "intact_chart": "red_meat",
    "poultry_165": "poultry",
}
SOURCE = f"{CASES['sources']['fda_food_code']}; 9 CFR 318.23(b)(1), patties"
NOTE = (
    "Nothing was tuned to them. The code counts 15 s at 145 °F for intact meat because its inside is clean; the germs "
    "below are asked for as if it were not. The rows for patties are those of the rulebase, read in the regulation."
)


def rows():
    """Give every row of every chart."""
    for chart, food in CHARTS.items():
        for fahrenheit, _, seconds in CASES["tables"][chart]["rows"]:
            digit = 60 if seconds > 200 and fahrenheit <= 145 else 1
            what = f"{chart.replace('_', ' ')}, {fahrenheit} °F held"
            known = "read through an adoption"
            yield beside(what, seconds, celsius(fahrenheit), food, known=known, digit_s=digit)
    for row in rulebase().tables["patty_318_23"].rows:
        yield beside(f"patty, {row.f:g} °F held", row.s, celsius(row.f), "red_meat", known="read", digit_s=1)
