"""The page of `benches/equal.rs` by a script: draws values, works the steps in decimals, fills in a template.

python3 equal.py SECONDS prints how many pages a second it makes, and the length of the last.
"""

import random
import sys
import time
from decimal import ROUND_HALF_UP, Decimal

from jinja2 import Environment

# Name, dose, displacement value and marked size: numbers to draw from, as in the bank.
DRUGS = [
    ("zinc oxide", "0.300", "4.7", "2"),
    ("bismuth subgallate", "0.200", "2.7", "2"),
    ("tannic acid", "0.250", "0.9", "1"),
    ("ichthammol", "0.150", "1.0", "1"),
    ("boric acid", "0.100", "1.5", "1"),
]

PAGE = Environment(autoescape=False).from_string(
    """{{ stem }}

{% for step in steps %}
{{ loop.index }}. {{ step.say }}
   {{ step.label }} = {{ step.named }} = {{ step.numbered }} = {{ step.result }}
{% endfor %}
"""
)


def shown(number, places):
    return str(number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))


def page(chance):
    name, dose, value, size = chance.choice(DRUGS)
    dose, value, size = Decimal(dose), Decimal(value), Decimal(size)
    number = chance.randrange(8, 25)
    departure = Decimal(chance.randrange(-4, 12)) / 100
    capacity = (size * (1 + departure)).quantize(Decimal("0.01"), ROUND_HALF_UP)
    stem = (
        f"You have to prepare {number} suppositories, each containing {dose} g of {name}, with no excess. "
        f"The mould is marked {size} g, but each cavity holds {capacity} g of theobroma oil. Take the "
        f"displacement value of {name} in theobroma oil as {value}: {value} g of {name} displaces 1 g of it."
    )
    drug = number * dose
    displaced = drug / value
    total = number * capacity
    base = total - displaced
    steps = [
        {
            "say": "Multiply the dose by the number of units.",
            "label": "mass of drug",
            "named": "number cast × dose",
            "numbered": f"{number} × {dose} g",
            "result": shown(drug, 3) + " g",
        },
        {
            "say": "Calculate the mass of base that this drug displaces.",
            "label": "base displaced",
            "named": "mass of drug / displacement value",
            "numbered": f"{shown(drug, 3)} g / {value}",
            "result": shown(displaced, 3) + " g",
        },
        {
            "say": "Calculate the mass of base that fills all the cavities without drug.",
            "label": "total capacity",
            "named": "number cast × capacity of a cavity",
            "numbered": f"{number} × {capacity} g",
            "result": shown(total, 2) + " g",
        },
        {
            "say": "Subtract the base displaced from the total capacity.",
            "label": "mass of base",
            "named": "total capacity − base displaced",
            "numbered": f"{shown(total, 2)} g − {shown(displaced, 3)} g",
            "result": shown(base, 2) + " g",
        },
    ]
    return PAGE.render(stem=stem, steps=steps)


def main():
    seconds = float(sys.argv[1])
    chance = random.Random(1)
    made, last = 0, ""
    start = time.perf_counter()
    while time.perf_counter() - start < seconds:
        for _ in range(200):
            last = page(chance)
        made += 200
    print(f"{made / (time.perf_counter() - start):.0f} {len(last.encode())}")


main()
