"""Makes distributions-random.json: tails and quantiles at random points, to 20 digits.

Run with Python 3 and mpmath (Debian: python3-mpmath, python3-scipy):
    python3 tests/reference/distributions-random.py > tests/reference/distributions-random.json

Every value comes from a series of positive terms summed in mpmath with at least 40 digits beyond
the depth of the tail; nothing here shares a method with lib/num. scipy only proposes where to look.
"""

import json
import random

import mpmath
from mpmath import mp, mpf
from scipy import stats

random.seed(20240229)


def beta_lower(a, b, x, y):
    """I(x; a, b) = x^a y^b / (a B(a, b)) * sum over n of (a+b)_n / (a+1)_n x^n."""
    term = total = mpf(1)
    n = 0
    while term > total * mpf(10) ** (-mp.dps):
        term *= (a + b + n) / (a + 1 + n) * x
        total += term
        n += 1
    return mp.exp(a * mp.log(x) + b * mp.log(y) - mp.log(a) - log_beta(a, b)) * total


def log_beta(a, b):
    return mp.loggamma(a) + mp.loggamma(b) - mp.loggamma(a + b)


def terms(a, b, x):
    """About how many terms beta_lower needs: up to the hump of its terms, then down."""
    if x == 1:
        return mp.inf
    return max(0, ((a + b) * x - a - 1) / (1 - x)) - mp.dps * mp.log(10) / mp.log(x)


def beta_tails(a, b, x, y):
    """Both tails, from the series that is shorter."""
    if terms(a, b, x) <= terms(b, a, y):
        lower = beta_lower(a, b, x, y)
        return lower, 1 - lower
    upper = beta_lower(b, a, y, x)
    return 1 - upper, upper


def gamma_tails(a, x):
    """P(a, x) = x^a e^-x / Gamma(a + 1) * sum over n of x^n / (a+1)_n; Q is what is left."""
    term = total = mpf(1)
    n = 1
    while term > total * mpf(10) ** (-mp.dps):
        term *= x / (a + n)
        total += term
        n += 1
    lower = mp.exp(a * mp.log(x) - x - mp.loggamma(a + 1)) * total
    return lower, 1 - lower


def chi2_tails(x, df):
    return gamma_tails(mpf(df) / 2, mpf(x) / 2)


def chi2_density(x, df):
    a, h = mpf(df) / 2, mpf(x) / 2
    return mp.exp((a - 1) * mp.log(h) - h - mp.loggamma(a)) / 2


def f_tails(f, df1, df2):
    top, bottom = mpf(df1) * mpf(f), mpf(df2)
    return beta_tails(mpf(df1) / 2, mpf(df2) / 2, top / (top + bottom), bottom / (top + bottom))


def f_density(f, df1, df2):
    a, b = mpf(df1) / 2, mpf(df2) / 2
    x, y = a * mpf(f) / (a * mpf(f) + b), b / (a * mpf(f) + b)
    return mp.exp(a * mp.log(x) + b * mp.log(y) - log_beta(a, b)) / mpf(f)


def t_tails(t, df):
    outside = f_tails(mpf(t) ** 2, 1, df)[1] / 2
    return (outside, 1 - outside) if t < 0 else (1 - outside, outside)


def t_density(t, df):
    df, t = mpf(df), mpf(t)
    return mp.exp(-(df + 1) / 2 * mp.log1p(t * t / df) - log_beta(df / 2, mpf(1) / 2)) / mp.sqrt(df)


def normal_tails(x):
    return mp.erfc(-mpf(x) / mp.sqrt(2)) / 2, mp.erfc(mpf(x) / mp.sqrt(2)) / 2


def normal_density(x):
    return mp.exp(-mpf(x) ** 2 / 2) / mp.sqrt(2 * mp.pi)


def noncentral_tails(t, df, shift):
    """Lenth's mixture of beta tails (AS 243), summed with hundreds of digits."""
    if t < 0:
        lower, upper = noncentral_tails(-t, df, -shift)
        return upper, lower
    t, df, shift = mpf(t), mpf(df), mpf(shift)
    x, y = t * t / (t * t + df), df / (t * t + df)
    b = df / 2
    half = shift * shift / 2
    total = mp.erfc(shift / mp.sqrt(2)) / 2
    for start, weight in ((mpf(1) / 2, mp.exp(-half)), (mpf(1), shift * mp.exp(-half) * mp.sqrt(2 / mp.pi))):
        a = start
        share = beta_tails(a, b, x, y)[0]
        drop = mp.exp(a * mp.log(x) + b * mp.log(y) - mp.log(a) - log_beta(a, b))
        j = 0
        while j < half or abs(weight) * share > mpf(10) ** (-mp.dps):
            total += weight * share / 2
            weight *= half / (j + start + mpf(1) / 2)
            share -= drop
            drop *= x * (a + b) / (a + 1)
            a += 1
            j += 1
    return total, 1 - total


FAMILIES = {
    "normal": (normal_tails, normal_density),
    "t": (t_tails, t_density),
    "chi2": (chi2_tails, chi2_density),
    "F": (f_tails, f_density),
}
rows = []


def digits(value):
    return mp.nstr(value, 20, min_fixed=0, max_fixed=0)


def tails_row(dist, params, x, tails):
    lower, upper = tails
    if lower > mpf("1e-300"):
        rows.append({"dist": dist, "params": params, "fn": "cdf", "arg": x, "value": digits(lower)})
    if upper > mpf("1e-300"):
        rows.append({"dist": dist, "params": params, "fn": "upper", "arg": x, "value": digits(upper)})


def quantile_row(dist, params, x, tails):
    """The exact quantile of the double nearest to cdf(x): Newton steps from x."""
    function, density = FAMILIES[dist]
    values = list(params.values())
    p = float(tails[0])
    if not 1e-300 < p < 1 - 1e-12:
        return
    at = mpf(x)
    for _ in range(3):
        at += (mpf(p) - function(at, *values)[0]) / density(at, *values)
    rows.append({"dist": dist, "params": params, "fn": "quantile", "arg": p, "value": digits(at)})


def probe(dist, params, scipy_law):
    """A random point: a tail depth uniform in its logarithm, on a random side."""
    depth = random.choice([random.uniform(0, 3), random.uniform(0, 299)])
    side = random.choice(["isf", "ppf"])
    rows_at(dist, params, float(getattr(scipy_law, side)(10**-depth)), depth)


def probe_f(df1, df2):
    """scipy finds no deep tails of F: a ratio so far from 1 that the tail may reach 1e-300."""
    below = random.random() < 0.5
    reach = 40 * (2 / df1 + 2 / df2) ** 0.5 + 1400 / (df1 if below else df2)
    distance = random.random() ** 2 * min(600, reach)
    rows_at("F", {"df1": df1, "df2": df2}, float(mp.exp(-distance if below else distance)), 320)


def rows_at(dist, params, x, depth):
    if not 1e-290 < abs(x) < 1e290:
        return
    # a tail may be what is left of 1: digits for its depth and forty more
    mp.dps = 60 + int(depth)
    tails = FAMILIES[dist][0](x, *params.values())
    tails_row(dist, params, x, tails)
    quantile_row(dist, params, x, tails)


def freedom():
    return float("%.6g" % 10 ** random.choice([random.uniform(-0.3, 2), random.uniform(-0.3, 6)]))


for _ in range(40):
    probe("normal", {}, stats.norm())
for _ in range(120):
    df = freedom()
    probe("t", {"df": df}, stats.t(df))
    df = freedom()
    probe("chi2", {"df": df}, stats.chi2(df))
    probe_f(freedom(), freedom())
for _ in range(80):
    df, shift = float("%.4g" % 10 ** random.uniform(-0.3, 3)), round(random.uniform(-8, 8), 3)
    t = round(shift + random.uniform(-1, 1) * random.choice([6, 30]), 3)
    mp.dps = 350
    tails_row("nct", {"df": df, "shift": shift}, t, noncentral_tails(t, df, shift))

source = (
    f"mpmath {mpmath.__version__}, series of positive terms, 60 digits and more: "
    "tests/reference/distributions-random.py"
)
lines = ",\n".join(json.dumps(row) for row in rows)
print(f'{{"source": {json.dumps(source)}, "rows": [\n{lines}\n]}}')
