"""Makes studentised-range.json: tails of the studentised range at points of several sizes.

Run with Python 3, mpmath and scipy:
    python3 tests/reference/studentised-range.py > tests/reference/studentised-range.json

Infinite df: adaptive quadrature of the range of normal values with 30 digits (mpmath). Finite df:
scipy.stats.studentized_range.sf, an adaptive quadrature in two dimensions. Neither shares a method
with lib/num, which sums a trapezoidal rule. Two groups need no reference: there the studentised
range is the square root of 2 times Student's |t|.
"""

import json

import mpmath
import scipy
from mpmath import mp, mpf
from scipy import stats

mp.dps = 30


def range_upper(w, k):
    """P(range of k standard normal values > w)."""
    w = mpf(w)
    inside = lambda z: mp.npdf(z) * (mp.ncdf(z) - mp.ncdf(z - w)) ** (k - 1)
    return 1 - k * mp.quad(inside, [-12, -4, -2, 0, 1, 2, 3, 4, 6, 8, 10, 14, 20])


rows = []
for k, q in [(3, 0.5), (3, 3.3145), (5, 2), (5, 9), (12, 4.6), (50, 5), (100, 7)]:
    rows.append({"groups": k, "df": None, "q": q, "upper": float(range_upper(q, k))})
for k, df, q in [
    (3, 10, 3.5), (3, 5.5, 12), (3, 24, 1), (4, 24, 3.9), (4, 15.53, 6), (5, 3, 2), (6, 40, 4.2),
    (10, 2, 14), (10, 100, 5.5), (20, 60, 5), (3, 1, 20), (30, 12, 6),
]:
    rows.append({"groups": k, "df": df, "q": q, "upper": float(stats.studentized_range.sf(q, k, df))})
print(json.dumps({
    "source": "tests/reference/studentised-range.py",
    "software": f"mpmath {mpmath.__version__}, scipy {scipy.__version__}",
    "upper": rows,
    "table": {
        "source": "Harter (1960) Ann Math Stat 31:1122-1147, upper 5 % and 1 % points as printed (from memory)",
        "rows": [
            {"groups": 3, "df": 10, "p": 0.95, "q": 3.877}, {"groups": 4, "df": 20, "p": 0.95, "q": 3.958},
            {"groups": 5, "df": 10, "p": 0.99, "q": 6.136}, {"groups": 2, "df": 5, "p": 0.95, "q": 3.635},
        ],
    },
}, indent=1))
