"""Show the sum: the formula behind a number, what went in, and where that comes from.

Nothing new is worked out here: the sums say how the numbers of an assessment were made. A test
puts the inputs into each formula and compares with the number that is shown.
"""

from retrofit.plan.sums.at_value import sums_at, sums_of_mark
from retrofit.plan.sums.checks import sums_of_check, sums_of_trim
from retrofit.plan.sums.sum import COMPUTED, ENTERED, Input, Sum

__all__ = [
    "COMPUTED",
    "ENTERED",
    "Input",
    "Sum",
    "sums_at",
    "sums_of_check",
    "sums_of_mark",
    "sums_of_trim",
]
