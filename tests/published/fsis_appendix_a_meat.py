"""Times for red meat of the US plant guideline, beside what the shipped germs ask at the same temperature."""

from __future__ import annotations

from published._shipped import celsius, data
from published._tables import STRICTER, beside

TABLES = data("food_code_cases.yaml")["tables"]
COLUMNS = {"meat_6_5_log": "6.5 log", "meat_7_log": "7 log", "meat_5_log": "5 log"}
# The 7 log column where the shipped germs, which are asked for 6.5 log of Salmonella and 5 of E. coli, ask less.
LESS = {"meat_7_log": {132: 0.034, 133: 0.015}}
SOURCE = str(data("food_code_cases.yaml")["sources"]["fsis_appendix_a"])
NOTE = (
    "The table is the law's measure, the germs are ours; a plan is held to both. Nothing was tuned to it. Listeria, "
    "with z 9.22 °C, makes the model far stricter where it is hot. 0 s is where the table stops counting. Printed in "
    "whole minutes to 145 °F."
)


def rows():
    """Give every row of the three columns."""
    for name, column in COLUMNS.items():
        for fahrenheit, _, seconds in TABLES[name]["rows"]:
            less = LESS.get(name, {}).get(fahrenheit)
            yield beside(
                f"{fahrenheit} °F held, {column}",
                seconds,
                celsius(fahrenheit),
                "red_meat",
                known="read",
                digit_s=60 if fahrenheit <= 145 else 1,
                less=less,
                reason=STRICTER if less is None else "the germs of red meat are asked for 6.5 log of Salmonella, not 7",
            )
