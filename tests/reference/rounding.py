"""Writes rounding.csv: numbers rounded by Python's decimal module, ties away from zero.

Run with any Python 3: python3 rounding.py > rounding.csv
"""

import random
import sys
from decimal import ROUND_HALF_UP, Decimal, localcontext

RANDOM = random.Random(20)


def places(number, count):
    return number.quantize(Decimal(1).scaleb(-count), ROUND_HALF_UP)


def figures(number, count):
    """Rounds, and once more when a carry such as 99.95 -> 100 has gained a digit."""
    if number == 0:
        return Decimal(0)
    power = number.adjusted() - count + 1
    rounded = number.quantize(Decimal(1).scaleb(power), ROUND_HALF_UP)
    if rounded.adjusted() > number.adjusted():
        rounded = number.quantize(Decimal(1).scaleb(power + 1), ROUND_HALF_UP)
    return rounded


def nearest(number, step):
    count = (number / step).quantize(Decimal(1), ROUND_HALF_UP)
    return (count * step).quantize(Decimal(1).scaleb(step.as_tuple().exponent))


def shown(number):
    return format(abs(number) if number == 0 else number, "f")


def made(digits, point):
    text = str(RANDOM.randrange(10 ** (digits - 1), 10**digits))
    return Decimal(text).scaleb(-point)


NUMBERS = [
    Decimal(text)
    for text in """0 0.00 1 10 100 0.5 1.5 2.5 0.05 0.15 0.25 0.35 1.005 2.675 13.929 99.95 99.949
    9.995 9.9949 999.5 999.4 0.09995 0.0099995 9.5 95 995 0.95 12.345 12.355 0.90 3.20 1234.5
    49.5 50 0.049 0.0005 0.00049 123456789 987654321.987654321 0.000000000000000000000001
    0.0000000000000000000000055 12345678901234567890 99999999999999999999.5
    99999999999999999999999999.5 7000000000000000000000000000 0.9999999999999999999999999999
    0.125 0.375 0.625 0.325 1.625 17.5 17.25 2.0750 1.0249999999999999999999""".split()
]
NUMBERS += [made(RANDOM.randint(1, 9), RANDOM.randint(0, 6)) for _ in range(40)]
NUMBERS += [made(RANDOM.randint(16, 22), RANDOM.randint(0, 22)) for _ in range(20)]
STEPS = "0.05 0.5 0.02 0.25 0.1 0.01 5 10 0.005 0.10 3 0.03 7".split()

CASES = []
for at, size in enumerate(NUMBERS):
    for number in (size, -size):
        for rule in (places, figures, nearest):
            for turn in range(2):
                if rule is nearest:
                    argument = Decimal(STEPS[(at + 5 * turn) % len(STEPS)])
                    name = f"nearest {argument}"
                else:
                    argument = (at + 2 * turn) % 5 + (rule is figures)
                    word = rule.__name__ if argument != 1 else rule.__name__[:-1]
                    name = f"{argument} {word}"
                CASES.append((number, name, rule, argument))
# A hair below half of a step whose quotient has no end.
for number, step in (("1.4999999999999999999999999999", "3"), ("1.5", "3"), ("-1.5", "3"),
                     ("100000000000000000000", "0.0000005"), ("0.0000000000000000000000000001", "7"),
                     ("3.9999999999999999999999999999", "8"), ("4", "8"), ("-4", "8")):
    CASES.append((Decimal(number), f"nearest {step}", nearest, Decimal(step)))

with localcontext() as context:
    context.prec = 90
    sys.stdout.write("number,rounding,rounded\n")
    for number, name, rule, argument in dict.fromkeys(CASES):
        rounded = rule(number, argument)
        # 28 digits are what the program holds.
        if len(rounded.as_tuple().digits) <= 28:
            sys.stdout.write(f"{number:f},{name},{shown(rounded)}\n")
